// One field of one record, typed anew: found by its column or its form key, read by its type, held against the rules.
#pragma once

#include "app/studio.hpp"
#include "model/nouns.hpp"
#include "model/rules/rule.hpp"

#include <string>
#include <string_view>

namespace tonebath::app {

// "water" finds "water_ml", "made-up" "made_up", "length" "in_bath_s", "with" "used". nullopt when no column or several
// fit.
[[nodiscard]] std::optional<std::string> column_of(const std::vector<std::string>& columns, std::string_view typed);
// Columns that are the program's own and never typed: id, made, both clocks.
[[nodiscard]] bool is_own_column(std::string_view column);

// Unit of the lot that an amount of this record is measured in.
[[nodiscard]] AmountUnit unit_for(Studio& studio, const Lot& lot);
[[nodiscard]] AmountUnit unit_for(Studio& studio, const LotWeighing& weighing);
[[nodiscard]] AmountUnit unit_for(Studio& studio, const Bath& bath);
[[nodiscard]] AmountUnit unit_for(Studio& studio, const TopUp& top_up);
template <class Noun>
[[nodiscard]] AmountUnit unit_for(Studio&, const Noun&) {
    return AmountUnit::g;
}

// What the rules say of the record with its new value; `column` is the one that changed, `typed` names it on screen.
[[nodiscard]] rules::Question rule_for(Studio& studio, Bath& bath, std::string_view column, const rules::Typed& typed);
[[nodiscard]] rules::Question rule_for(Studio& studio, Reading& reading, std::string_view column,
                                       const rules::Typed& typed);
[[nodiscard]] rules::Question rule_for(Studio& studio, Lot& lot, std::string_view column, const rules::Typed& typed);
[[nodiscard]] rules::Question rule_for(Studio& studio, Dip& dip, std::string_view column, const rules::Typed& typed);
[[nodiscard]] rules::Question rule_for(Studio& studio, Rinse& rinse, std::string_view column,
                                       const rules::Typed& typed);
[[nodiscard]] rules::Question rule_for(Studio& studio, Piece& piece, std::string_view column,
                                       const rules::Typed& typed);
[[nodiscard]] rules::Question rule_for(Studio& studio, Part& part, std::string_view column, const rules::Typed& typed);
[[nodiscard]] rules::Question rule_for(Studio& studio, Preparation& done, std::string_view column,
                                       const rules::Typed& typed);
[[nodiscard]] rules::Question rule_for(Studio& studio, Judgement& judgement, std::string_view column,
                                       const rules::Typed& typed);
[[nodiscard]] rules::Question rule_for(Studio& studio, OwnFigure& figure, std::string_view column,
                                       const rules::Typed& typed);
template <class Noun>
[[nodiscard]] rules::Question rule_for(Studio&, Noun&, std::string_view, const rules::Typed&) {
    return std::nullopt;
}

}  // namespace tonebath::app
