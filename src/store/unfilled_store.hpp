// What was skipped at the bench and waits to be filled in.
#pragma once

#include "store/log.hpp"

#include <string>
#include <vector>

namespace tonebath::store {

enum class Gap {
    dip_tone,         // taken out, but no tone judged of its subject since
    dip_preparation,  // nothing says how its subject was prepared
    dip_rinse,        // out of a bath made from a lot, no rinse written down; not asked of past work
    dip_who,          // nobody's initials; not asked of past work
    dip_length,       // past work, length unknown
    bath_amount,      // made from a lot, amount unknown
    bath_water,       // made from a lot, water unknown
    bath_start_temp,  // made from a lot, no start temperature and no reading
    bath_disposal,    // ended, no disposal written down
    part_metal,       // metal unknown
    piece_parts,      // dipped, but nothing says what metal it is
};

struct Unfilled {
    Gap gap = Gap::dip_tone;
    std::string table;  // of the record that lacks it
    std::string record_id;
    std::string number;  // of the record, or of the dip's strip, piece or bath; "L-058 lid" for a part
    Stamp made_at;
};

// Of records made since that moment, newest first.
[[nodiscard]] std::vector<Unfilled> unfilled(Log& log, const Stamp& since, std::size_t limit = 200);

}  // namespace tonebath::store
