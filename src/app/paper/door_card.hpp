// The door card: an emergency page on paper, with the studio's own numbers, readable from a step away.
#pragma once

#include "base/result.hpp"
#include "report/report.hpp"

#include <string>
#include <string_view>

namespace tonebath::app {

class Studio;

inline constexpr double kOnADoor = 1.7;  // times the usual letters: 6 mm
// The value, or a line of so many letters to write it on.
[[nodiscard]] std::string or_by_hand(const std::string& value, std::size_t letters = 10);

// `page`: "gas", "splash" or "fire". A number that is not written down leaves a line to write it on by hand. Refusal
// "card.no_page".
[[nodiscard]] Result<report::Report> door_card(Studio& studio, std::string_view page);

}  // namespace tonebath::app
