// How far the measured colours of a batch lie apart.
#pragma once

#include "science/colour.hpp"

#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// Differences are CIEDE2000; all colours under one white.
struct ColourSpread {
    Lab mean;                          // arithmetic mean of L*, a*, b*
    std::vector<double> to_mean_de00;  // one for each piece
    double mean_to_mean_de00 = 0.0;    // the "mean colour difference from the mean"
    double rms_to_mean_de00 = 0.0;
    double widest_pair_de00 = 0.0;
};
// Nothing for fewer than two colours. Time grows with the square of the number (a thousand pieces: about 0.1 s).
[[nodiscard]] std::optional<ColourSpread> colour_spread(std::span<const Lab> colours);

}  // namespace tonebath::science
