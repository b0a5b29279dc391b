// A mean with its limits by Student's t: of differences within pairs, and of two groups that nothing pairs.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace tonebath::science {

struct MeanRange {
    std::size_t n = 0;
    double mean = 0.0;
    double sd = 0.0;   // of one value
    double low = 0.0;  // limits of the mean
    double high = 0.0;
};
// mean -+ t(n - 1) sd/sqrt(n), two-sided, holding in `share` of cases. Nothing with fewer than two values or one that is
// not finite.
[[nodiscard]] std::optional<MeanRange> mean_range(std::span<const double> values, double share = 0.95);

// Mean of `one` less mean of `other`, spreads not taken as equal (Welch 1947; degrees of freedom of Satterthwaite, from
// memory, rounded down: never narrower). `sd` and `n` are not of it.
[[nodiscard]] std::optional<MeanRange> group_difference(std::span<const double> one, std::span<const double> other,
                                                        double share = 0.95);

}  // namespace tonebath::science
