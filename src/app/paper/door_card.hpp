// The door card: an emergency page on paper, with the studio's own numbers, readable from a step away.
#pragma once

#include "base/result.hpp"
#include "report/report.hpp"

#include <string_view>

namespace tonebath::app {

class Studio;

// `page`: "gas", "splash" or "fire". A number that is not written down leaves a line to write it on by hand. Refusal
// "card.no_page".
[[nodiscard]] Result<report::Report> door_card(Studio& studio, std::string_view page);

}  // namespace tonebath::app
