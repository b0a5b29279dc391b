#include "science/cooling_fit.hpp"

#include "science/normal.hpp"

#include <boost/math/tools/minima.hpp>

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kSecondsPerMinute = 60.0;
// Search range for k, ours: from a vacuum flask over weeks to a teaspoon in a draught.
constexpr double kLeast_per_min = 1e-5;
constexpr double kMost_per_min = 5.0;
constexpr int kGrid = 160;
constexpr int kBits = 40;

// Sum of squares of one stretch about its best Newton line with this k; the start is linear, so it is solved exactly.
double stretch_sum_of_squares(const Stretch& stretch, double room_c, double k_per_min) {
    double decay_excess = 0.0;
    double decay_decay = 0.0;
    const auto decay = [&](const Reading& r) {
        return std::exp(-k_per_min * (r.t_s - stretch.front().t_s) / kSecondsPerMinute);
    };
    for (const Reading& r : stretch) {
        decay_excess += decay(r) * (r.temp_c - room_c);
        decay_decay += decay(r) * decay(r);
    }
    const double start_excess = decay_excess / decay_decay;
    double sum = 0.0;
    for (const Reading& r : stretch) {
        const double off = r.temp_c - room_c - start_excess * decay(r);
        sum += off * off;
    }
    return sum;
}

double sum_of_squares(std::span<const Stretch> stretches, double room_c, double k_per_min) {
    double sum = 0.0;
    for (const Stretch& stretch : stretches) {
        if (stretch.size() > 1) {
            sum += stretch_sum_of_squares(stretch, room_c, k_per_min);
        }
    }
    return sum;
}

std::size_t telling_readings(std::span<const Stretch> stretches) {
    std::size_t count = 0;
    for (const Stretch& stretch : stretches) {
        count += stretch.size() > 1 ? stretch.size() : 0;
    }
    return count;
}

// Log-sd from the curvature of the cost (twice the negative log-likelihood) at its least.
template <class Cost>
double log_sd_at(const Cost& cost, double log_k) {
    constexpr double step = 1e-3;
    const double curvature = (cost(log_k + step) - 2.0 * cost(log_k) + cost(log_k - step)) / (step * step);
    return curvature > 0.0 ? std::sqrt(2.0 / curvature) : std::numeric_limits<double>::infinity();
}

}  // namespace

std::vector<Stretch> stretches_of(std::span<const Reading> readings) {
    std::vector<Reading> sorted(readings.begin(), readings.end());
    std::stable_sort(sorted.begin(), sorted.end(), [](const Reading& a, const Reading& b) { return a.t_s < b.t_s; });
    std::vector<Stretch> stretches;
    std::size_t equal_times = 1;
    for (const Reading& r : sorted) {
        if (stretches.empty() || r.jump) {
            stretches.push_back({r});
            equal_times = 1;
        } else if (stretches.back().back().t_s == r.t_s) {
            ++equal_times;
            double& mean_c = stretches.back().back().temp_c;
            mean_c += (r.temp_c - mean_c) / static_cast<double>(equal_times);
        } else {
            stretches.back().push_back(r);
            equal_times = 1;
        }
    }
    return stretches;
}

std::optional<CoolingWhy> fault_of(std::span<const Reading> readings, double room_c, double reading_sd_c) {
    if (readings.empty()) {
        return CoolingWhy::no_readings;
    }
    if (!std::isfinite(room_c) || !std::isfinite(reading_sd_c) || reading_sd_c <= 0.0) {
        return CoolingWhy::not_a_number;
    }
    for (const Reading& r : readings) {
        if (!std::isfinite(r.t_s) || !std::isfinite(r.temp_c) || !std::isfinite(r.jump_at_s.value_or(0.0))) {
            return CoolingWhy::not_a_number;
        }
        if (r.temp_c < -5.0 || r.temp_c > 105.0) {
            return CoolingWhy::not_water;
        }
    }
    if (room_c < -30.0 || room_c > 60.0) {
        return CoolingWhy::room_out_of_range;
    }
    return std::nullopt;
}

void set_log_sd(CoolingFit& fit, double log_sd) {
    const double reach = normal_quantile(0.975) * log_sd;
    fit.log_sd = log_sd;
    fit.low_per_min = fit.k_per_min * std::exp(-reach);
    fit.high_per_min = fit.k_per_min * std::exp(reach);
}

CoolingFit fit_stretches(std::span<const Stretch> stretches, double room_c, double reading_sd_c,
                         const std::optional<VesselConstant>& prior) {
    const auto cost = [&](double log_k) {
        double sum = sum_of_squares(stretches, room_c, std::exp(log_k)) / (reading_sd_c * reading_sd_c);
        if (prior) {
            const double off = (log_k - std::log(prior->k_per_min)) / prior->log_sd;
            sum += off * off;
        }
        return sum;
    };
    const double low = std::log(kLeast_per_min);
    const double spacing = (std::log(kMost_per_min) - low) / kGrid;
    double best = low;
    for (int i = 1; i <= kGrid; ++i) {
        const double log_k = low + spacing * i;
        best = cost(log_k) < cost(best) ? log_k : best;
    }
    const double log_k = boost::math::tools::brent_find_minima(cost, best - spacing, best + spacing, kBits).first;

    CoolingFit fit;
    fit.k_per_min = std::exp(log_k);
    const double log_sd = log_sd_at(cost, log_k);
    set_log_sd(fit, prior ? std::min(log_sd, prior->log_sd) : log_sd);
    fit.readings = telling_readings(stretches);
    if (fit.readings > 0) {
        const double sum = sum_of_squares(stretches, room_c, fit.k_per_min);
        fit.residual_sd_c = std::sqrt(sum / static_cast<double>(fit.readings));
    }
    return fit;
}

Outcome<CoolingFit, CoolingWhy> fit_readings_alone(std::span<const Reading> readings, double room_c,
                                                   double reading_sd_c) {
    if (const auto fault = fault_of(readings, room_c, reading_sd_c)) {
        return *fault;
    }
    const std::vector<Stretch> stretches = stretches_of(readings);
    if (telling_readings(stretches) == 0) {
        return CoolingWhy::too_few_readings;
    }
    const bool stands_at_room = std::all_of(readings.begin(), readings.end(), [&](const Reading& r) {
        return std::abs(r.temp_c - room_c) < 2.0 * reading_sd_c;
    });
    if (stands_at_room) {
        return CoolingWhy::no_difference;
    }
    const CoolingFit fit = fit_stretches(stretches, room_c, reading_sd_c, std::nullopt);
    if (fit.k_per_min < 2.0 * kLeast_per_min) {
        return CoolingWhy::not_cooling;
    }
    return fit;
}

std::optional<double> minutes_to_reach(double from_c, double to_c, double room_c, double k_per_min) {
    const double left = (to_c - room_c) / (from_c - room_c);
    if (!std::isfinite(left) || !std::isfinite(k_per_min) || k_per_min <= 0.0 || left <= 0.0 || left > 1.0) {
        return std::nullopt;
    }
    return -std::log(left) / k_per_min;
}

std::optional<double> k_from_two(double from_c, double to_c, double room_c, double minutes) {
    const double left = (to_c - room_c) / (from_c - room_c);
    if (!std::isfinite(left) || !std::isfinite(minutes) || minutes <= 0.0 || left <= 0.0 || left >= 1.0) {
        return std::nullopt;
    }
    return -std::log(left) / minutes;
}

}  // namespace tonebath::science
