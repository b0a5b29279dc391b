// The least-squares part of cooling.hpp: readings grouped into stretches without a jump, one k for all of them.
#pragma once

#include "science/cooling.hpp"

#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// Readings of one stretch, rising times.
using Stretch = std::vector<Reading>;

// Sorted by time, equal times without a jump averaged, cut at jumps. Never empty stretches.
[[nodiscard]] std::vector<Stretch> stretches_of(std::span<const Reading> readings);

// nullopt when all is well.
[[nodiscard]] std::optional<CoolingWhy> fault_of(std::span<const Reading> readings, double room_c, double reading_sd_c);

// log_sd, and the 95 of 100 range that follows from it.
void set_log_sd(CoolingFit& fit, double log_sd);

// k by least squares on °C. prior nullopt: the readings alone.
[[nodiscard]] CoolingFit fit_stretches(std::span<const Stretch> stretches, double room_c, double reading_sd_c,
                                       const std::optional<VesselConstant>& prior);

}  // namespace tonebath::science
