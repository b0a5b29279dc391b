#include "app/paper/period.hpp"

#include "base/text.hpp"
#include "model/rules/rule.hpp"

namespace tonebath::app {

namespace {

constexpr double kDay_s = 86'400.0;

std::optional<Stamp> day_of(std::string_view typed, const Stamp& now) {
    const std::optional<Stamp> at = parse_moment(typed, now);
    if (!at) {
        return std::nullopt;
    }
    const CivilTime fields = civil(*at);
    return stamp_of({.year = fields.year, .month = fields.month, .day = fields.day}, at->offset_min);
}

}  // namespace

Result<Period> period_of(std::string_view from, std::string_view to, const Stamp& now) {
    const auto first = day_of(from, now);
    const auto last = day_of(trimmed(to).empty() ? "today" : to, now);
    if (!first || !last) {
        return rules::refuse("period.not_a_day", {first ? "To" : "From", first ? to : from}, "that is not a day.",
                              "Type it as \"31 Mar 2026\" or 2026-03-31.");
    }
    if (*last < *first) {
        return rules::refuse("period.backwards", {"To", to}, "that is before the first day.", "Change the two days over.");
    }
    return Period{.from = *first, .until = plus_seconds(*last, kDay_s)};
}

}  // namespace tonebath::app
