// This week beside the same week a year ago, and month beside month: what was made, and how warm the room was.
#pragma once

#include "base/clock.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct Span {
    std::string name;                  // "this week", "Oct 2025"
    Stamp from, to;
    std::int64_t baths = 0, dips = 0, strips = 0, pieces = 0, gone_over = 0;  // dips of pieces; pieces dipped
    std::optional<double> room_c;      // mean of the baths made up then
    std::optional<double> in_bath_s;   // middle of the dips of pieces
    std::vector<std::string> designs;  // "Limpet 12"
};

struct Seasons {
    Span this_week, week_last_year;    // seven days up to now, and the same days a year before
    std::vector<Span> months;          // oldest first, from the first with a bath; at most 24
};
[[nodiscard]] Seasons seasons(Studio& studio);
[[nodiscard]] std::string seasons_text(const Seasons& seasons);

}  // namespace tonebath::app
