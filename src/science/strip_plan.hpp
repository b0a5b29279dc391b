// Times for test strips that bracket a target.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

namespace tonebath::science {

// Times in even ratio from low_s to high_s: 20 to 80 s in three strips: 20, 40, 80. One strip: the geometric middle.
// Even ratios because errors of time act as ratios. nullopt: no strips, more than 20, or not 0 < low_s < high_s.
[[nodiscard]] std::optional<std::vector<double>> bracketing_times_s(double low_s, double high_s, std::size_t strips);

// A target outside low_s to high_s (ends allowed) is not bracketed. Bad input: false.
[[nodiscard]] bool is_bracketed(double target_s, double low_s, double high_s);

}  // namespace tonebath::science
