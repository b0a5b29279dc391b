#include "science/run_chart.hpp"

#include <cmath>
#include <numbers>

namespace tonebath::science {

std::optional<RunChart> run_chart(std::span<const double> readings, RunConstants constants) {
    if (readings.size() < 2) {
        return std::nullopt;
    }
    const bool exact = constants == RunConstants::exact;
    const double d2 = exact ? 2.0 / std::sqrt(std::numbers::pi) : 1.128;
    const double d4 = exact ? 1.0 + 3.0 * std::sqrt(2.0 - 4.0 / std::numbers::pi) / d2 : 3.267;
    double sum = readings[0];
    double range_sum = 0.0;
    for (std::size_t i = 1; i < readings.size(); ++i) {
        sum += readings[i];
        range_sum += std::abs(readings[i] - readings[i - 1]);
    }
    RunChart chart;
    chart.centre = sum / static_cast<double>(readings.size());
    chart.mean_moving_range = range_sum / static_cast<double>(readings.size() - 1);
    chart.sigma = chart.mean_moving_range / d2;
    chart.lower = chart.centre - 3.0 * chart.sigma;
    chart.upper = chart.centre + 3.0 * chart.sigma;
    chart.moving_range_upper = d4 * chart.mean_moving_range;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (readings[i] < chart.lower || readings[i] > chart.upper) {
            chart.outside.push_back(i);
        }
        if (i > 0 && std::abs(readings[i] - readings[i - 1]) > chart.moving_range_upper) {
            chart.jumps.push_back(i);
        }
    }
    return chart;
}

}  // namespace tonebath::science
