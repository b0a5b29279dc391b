// A temperature read in a bath, held against the readings before it and against how a bath cools.
#pragma once

#include "base/quantity_text.hpp"
#include "model/bath.hpp"
#include "model/rules/rule.hpp"

#include <span>

namespace tonebath::rules {

// A temperature the bath is known to have had: its make-up or a reading before the one judged.
struct KnownTemp {
    Stamp at;
    Celsius temp = Celsius::from_celsius(0.0);
};

struct ReadingFacts {
    const Bath* bath = nullptr;       // not null
    const Vessel* vessel = nullptr;   // null when not known
    std::optional<KnownTemp> before;  // the last one before this reading
    Stamp now;
};

// "reading.before_make_up", "reading.after_end", moment rules.
[[nodiscard]] Question reading_moment(const Typed& at_typed, const Stamp& at, const ReadingFacts& facts);

// In this order; `reheated` is what was answered, unknown when it was not:
//   looks_fahrenheit with the answers "60.0 °C, reheated", "60.0 °C, not reheated" and "Blank"
//   "reading.hotter"        hotter than the last by 1 °C or more, and no reheat; answers "reheated", "not reheated"
//   "reading.rinse_bowl"    far below the expected curve: was the probe in the rinse bowl?
//   "reading.stale"         not cooled at all although the expected curve has: is it an older reading?
// The expected curve is Newton's law from the last known temperature with the vessel's constant, or 0.025 /min (a 250
// ml open vessel, OpenStax Calculus 1, 6.8 for the law); what lies between the curves of a quarter and three times it,
// 3 °C beside them, is not asked about (our cut-offs; a water bath may hold its heat and is never called stale).
[[nodiscard]] Question reading_temp(const Typed& temp_typed, Celsius temp, const Stamp& at,
                                    std::optional<bool> reheated, const ReadingFacts& facts, const UnitChoice& units);

// Beside the reading: "That reading is 25 min old …"; empty when it is younger.
[[nodiscard]] std::string age_caution(const Stamp& at, const Stamp& now);

}  // namespace tonebath::rules
