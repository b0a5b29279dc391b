// Speeds of baths as series with weights: what both searches for drift share. For .cpp files of this layer only.
#pragma once

#include "science/drift_watch.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

inline constexpr std::size_t kFewestAfter = 3;      // ours: baths on either side of a shift
inline constexpr double kSlideBeats = 4.0;          // ours: gain by which a slide must beat a step
inline constexpr double kHolds = 2.0;               // ours: standard errors for "this lot shares it" and "does not"

// One series: places in the list given, values less the level of their lot are found inside.
struct Series {
    std::vector<std::size_t> place;
    std::vector<double> day;
    std::vector<double> value;
    std::vector<double> weight;
    std::vector<std::size_t> lot;
};

// Scatter from neighbours of one lot, at least 0.03.
[[nodiscard]] double scatter_of(std::span<const BathSpeed> baths);
// All baths, or those of one lot, weighted by that scatter and what their own sd has beyond the average.
[[nodiscard]] Series series_of(std::span<const BathSpeed> baths, double scatter, std::optional<std::size_t> lot);
// Days rising, figures finite, lists of one length.
[[nodiscard]] bool sound(std::span<const BathSpeed> baths);

}  // namespace tonebath::science
