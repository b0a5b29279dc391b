// Spread within a batch: a centre and a spread that one odd piece cannot move, and the odd pieces.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// A piece is odd when |x - median| > kOddPieceScore x 1.4826 MAD. The score 3.5 is that of Iglewicz and Hoaglin 1993,
// "How to Detect and Handle Outliers" (from memory); 1.4826 MAD estimates a normal standard deviation. Chosen because
// half of a batch may be odd before median and MAD give way; mean and standard deviation give way at one piece.
inline constexpr double kOddPieceScore = 3.5;
inline constexpr std::size_t kFewestForOdd = 4;  // ours: among fewer nobody can say which is the odd one

struct BatchSpread {
    std::size_t known = 0;
    std::size_t unknown = 0;
    double median = 0.0;
    double mad = 0.0;        // median of |x - median|, as it is
    double robust_sd = 0.0;  // 1.4826 MAD, at least reading_sd: the readings cannot be told apart closer than that
    double mean = 0.0;
    double least = 0.0;
    double most = 0.0;
    std::vector<std::size_t> odd;  // places in the list given
};

// Middle value, or the mean of the two middle ones. Not empty.
[[nodiscard]] double median_of(std::vector<double> values);

// nullopt: fewer than two known values (nothing to say), a value not finite, or reading_sd negative or not finite.
[[nodiscard]] std::optional<BatchSpread> batch_spread(std::span<const std::optional<double>> values, double reading_sd);

}  // namespace tonebath::science
