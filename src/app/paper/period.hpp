// A span of whole days, as a record pack or a list of figures asks for it.
#pragma once

#include "base/clock.hpp"
#include "base/result.hpp"

#include <string>
#include <string_view>

namespace tonebath::app {

struct Period {
    Stamp from;   // the first moment of the first day
    Stamp until;  // the first moment after the last day

    [[nodiscard]] Stamp last_day() const { return plus_seconds(until, -1.0); }
    [[nodiscard]] bool holds(const Stamp& at) const { return from <= at && at < until; }
    [[nodiscard]] std::string words() const { return date_text(from) + " to " + date_text(last_day()); }
};

// Both days belong to it; an empty `to` is today. Refusals: "period.not_a_day", "period.backwards".
[[nodiscard]] Result<Period> period_of(std::string_view from, std::string_view to, const Stamp& now);

}  // namespace tonebath::app
