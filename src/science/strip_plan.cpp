#include "science/strip_plan.hpp"

#include <cmath>

namespace tonebath::science {

namespace {

constexpr std::size_t kMostStrips = 20;

bool is_bracket(double low_s, double high_s) {
    return std::isfinite(low_s) && std::isfinite(high_s) && low_s > 0.0 && low_s < high_s;
}

}  // namespace

std::optional<std::vector<double>> bracketing_times_s(double low_s, double high_s, std::size_t strips) {
    if (!is_bracket(low_s, high_s) || strips == 0 || strips > kMostStrips) {
        return std::nullopt;
    }
    if (strips == 1) {
        return std::vector<double>{std::sqrt(low_s * high_s)};
    }
    const double log_ratio = std::log(high_s / low_s);
    std::vector<double> times_s;
    for (std::size_t i = 0; i + 1 < strips; ++i) {
        times_s.push_back(low_s * std::exp(log_ratio * static_cast<double>(i) / static_cast<double>(strips - 1)));
    }
    times_s.push_back(high_s);
    return times_s;
}

bool is_bracketed(double target_s, double low_s, double high_s) {
    return is_bracket(low_s, high_s) && target_s >= low_s && target_s <= high_s;
}

}  // namespace tonebath::science
