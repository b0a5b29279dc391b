// The air of a room on paper: the figures, what they are held against with body and year, what they assume, where from.
#pragma once

#include "app/air.hpp"
#include "report/report.hpp"

#include <string>

namespace tonebath::app {

class Studio;

// `about` says of what: "bath 46: 2.0 g of LS-2".
[[nodiscard]] report::Report air_sheet(Studio& studio, const AirAnswer& air, const std::string& about, double down_to_ppm);

}  // namespace tonebath::app
