// Run chart of single readings: natural limits from the moving range.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// Constants of the moving range of two. `exact`: d2 = 2/sqrt(pi), D4 = 1 + 3 sqrt(2 - 4/pi)/d2;
// `tabled`: d2 = 1.128, D4 = 3.267, as printed in tables and used in the NIST/SEMATECH e-Handbook 6.3.2.2.
enum class RunConstants { exact, tabled };

struct RunChart {
    double centre = 0.0;  // mean of the readings
    double lower = 0.0;   // centre -+ 3 sigma
    double upper = 0.0;
    double sigma = 0.0;  // mean moving range / d2: blind to slow drift, so that drift shows
    double mean_moving_range = 0.0;
    double moving_range_upper = 0.0;   // limit for one moving range; its lower limit is 0
    std::vector<std::size_t> outside;  // readings beyond the limits, by place
    std::vector<std::size_t> jumps;    // i where |reading i - reading i-1| is beyond its limit
};
// Readings in the order they were made. Nothing with fewer than two. With fewer than about 20 the limits are rough.
[[nodiscard]] std::optional<RunChart> run_chart(std::span<const double> readings,
                                                RunConstants constants = RunConstants::exact);

}  // namespace tonebath::science
