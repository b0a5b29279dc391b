#include "science/colour_spread.hpp"

#include "science/colour_difference.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

std::optional<ColourSpread> colour_spread(std::span<const Lab> colours) {
    if (colours.size() < 2) {
        return std::nullopt;
    }
    const double n = static_cast<double>(colours.size());
    ColourSpread spread;
    for (const Lab& colour : colours) {
        spread.mean.l += colour.l / n;
        spread.mean.a += colour.a / n;
        spread.mean.b += colour.b / n;
    }
    double squares = 0.0;
    for (std::size_t i = 0; i < colours.size(); ++i) {
        const double to_mean = delta_e2000(colours[i], spread.mean);
        spread.to_mean_de00.push_back(to_mean);
        spread.mean_to_mean_de00 += to_mean / n;
        squares += to_mean * to_mean;
        for (std::size_t j = 0; j < i; ++j) {
            spread.widest_pair_de00 = std::max(spread.widest_pair_de00, delta_e2000(colours[i], colours[j]));
        }
    }
    spread.rms_to_mean_de00 = std::sqrt(squares / n);
    return spread;
}

}  // namespace tonebath::science
