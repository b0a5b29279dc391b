// What the log says, gathered for the rules: how much is left of a lot, what a bath was last read at, what hangs in it.
#pragma once

#include "app/subject.hpp"
#include "model/rules/bath_rules.hpp"
#include "model/rules/reading_rules.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// By the newest weighing less what baths and top-ups took since, or what was bought less all of it.
[[nodiscard]] rules::LotLeft lot_left(Studio& studio, const Lot& lot);
[[nodiscard]] std::vector<Reading> readings_of(Studio& studio, const Id<Bath>& bath);
// The last known temperature before `at`; a reading with the id `except` is passed over.
[[nodiscard]] rules::ReadingFacts reading_facts(Studio& studio, const Bath& bath, const Vessel* vessel, const Stamp& at,
                                                const Id<Reading>& except = {});
[[nodiscard]] std::vector<Dip> running_dips(Studio& studio);
// Number of the bath among `running` that holds the subject or what it is part of; empty when none does.
[[nodiscard]] std::string held_in(Studio& studio, const Subject& subject, const std::vector<Dip>& running);
[[nodiscard]] std::vector<Dip> dips_in(Studio& studio, const Id<Bath>& bath);
// Number of the bath that stands in this vessel and was not ended; empty when none does.
[[nodiscard]] std::string bath_in_vessel(Studio& studio, const Id<Vessel>& vessel, const Id<Bath>& except = {});
// Water and top-ups, or what was read off the vessel last. Unknown when the make-up has no water.
[[nodiscard]] std::optional<Millilitres> volume_of(Studio& studio, const Bath& bath);
// Stones set on the piece by then.
[[nodiscard]] std::vector<Stone> stones_on(Studio& studio, const Id<Piece>& piece, const Stamp& by);
// Rinsed since its last dip: a rinse of that dip, or a rinse among the after-work since then.
[[nodiscard]] bool rinsed_since(Studio& studio, const Subject& subject, const Dip& dip);
// One above the largest whole number among a table's numbers: "47".
[[nodiscard]] std::string next_number(Studio& studio, std::string_view table);
[[nodiscard]] bool number_taken(Studio& studio, std::string_view table, std::string_view column,
                                std::string_view number);

}  // namespace tonebath::app
