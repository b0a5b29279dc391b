// Questions about baths and the lots they are made from.
#pragma once

#include "model/bath.hpp"
#include "model/lot.hpp"
#include "store/log.hpp"

#include <optional>
#include <vector>

namespace tonebath::store {

// Baths not ended, the newest make-up first.
[[nodiscard]] std::vector<Bath> baths_in_use(Log& log, std::size_t limit = 100);
// In order of time.
[[nodiscard]] std::vector<Reading> readings_of(Log& log, const Id<Bath>& bath);
[[nodiscard]] std::vector<TopUp> top_ups_of(Log& log, const Id<Bath>& bath);

// What went out of a lot so far, in the lot's own unit. Baths and top-ups whose amount is unknown are counted, not
// guessed.
struct LotUse {
    double made_up = 0.0;
    double topped_up = 0.0;
    double spoiled = 0.0;
    std::int64_t baths = 0;                    // made from it
    std::int64_t unknown_amounts = 0;          // baths and top-ups of it without an amount
    std::optional<LotWeighing> last_weighing;  // the newest that says what is left
};
[[nodiscard]] LotUse lot_use(Log& log, const Id<Lot>& lot);

}  // namespace tonebath::store
