#include "science/two_strips.hpp"

#include "science/constants.hpp"
#include "science/students_t.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

double inverse_kelvin(double temp_c) {
    return 1.0 / (temp_c + kZeroCelsius_k);
}

double ea_from_slope(double slope_k) {
    return slope_k * kGasConstant_j_per_mol_k / 1000.0;
}

bool is_strip(const WatchedStrip& s) {
    return std::isfinite(s.time_s) && s.time_s > 0.0 && std::isfinite(s.temp_c) && s.temp_c >= 0.0 &&
           s.temp_c <= 100.0 && std::isfinite(s.log_sd) && s.log_sd > 0.0;
}

// One number twice; or, of two strips, two without a number and alike in all.
bool one_strip_twice(std::span<const WatchedStrip> strips) {
    for (std::size_t i = 0; i < strips.size(); ++i) {
        for (std::size_t j = i + 1; j < strips.size(); ++j) {
            const WatchedStrip& a = strips[i];
            const WatchedStrip& b = strips[j];
            const bool same_number = a.number && b.number && *a.number == *b.number;
            const bool alike =
                strips.size() == 2 && !(a.number && b.number) && a.time_s == b.time_s && a.temp_c == b.temp_c;
            if (same_number || alike) {
                return true;
            }
        }
    }
    return false;
}

std::optional<StripLawWhy> fault_of(std::span<const WatchedStrip> strips) {
    if (!std::all_of(strips.begin(), strips.end(), is_strip)) {
        return StripLawWhy::bad_input;
    }
    if (strips.size() < 2) {
        return StripLawWhy::too_few;
    }
    return one_strip_twice(strips) ? std::optional(StripLawWhy::same_strip) : std::nullopt;
}

// Weighted least squares of log time on 1/T.
void fit_line(StripLaw& law, std::span<const WatchedStrip> strips) {
    const auto weight = [](const WatchedStrip& s) { return 1.0 / (s.log_sd * s.log_sd); };
    double sum_w = 0.0;
    double sum_wx = 0.0;
    double sum_wy = 0.0;
    for (const WatchedStrip& s : strips) {
        sum_w += weight(s);
        sum_wx += weight(s) * inverse_kelvin(s.temp_c);
        sum_wy += weight(s) * std::log(s.time_s);
    }
    law.inv_temp_per_k = sum_wx / sum_w;
    law.log_time = sum_wy / sum_w;
    double sum_xx = 0.0;
    double sum_xy = 0.0;
    for (const WatchedStrip& s : strips) {
        const double x = inverse_kelvin(s.temp_c) - law.inv_temp_per_k;
        sum_xx += weight(s) * x * x;
        sum_xy += weight(s) * x * (std::log(s.time_s) - law.log_time);
    }
    law.slope_k = sum_xy / sum_xx;
    double scale = 1.0;
    if (law.basis == LimitBasis::scatter) {
        double chi_square = 0.0;
        for (const WatchedStrip& s : strips) {
            const double x = inverse_kelvin(s.temp_c) - law.inv_temp_per_k;
            const double off = std::log(s.time_s) - law.log_time - law.slope_k * x;
            chi_square += weight(s) * off * off;
        }
        const double mean_var = static_cast<double>(strips.size()) / sum_w;
        scale = std::sqrt(
            std::max(chi_square / static_cast<double>(strips.size() - 2), kLeastScatter * kLeastScatter / mean_var));
    }
    law.log_time_sd = scale / std::sqrt(sum_w);
    law.slope_sd_k = scale / std::sqrt(sum_xx);
}

Limits about(double centre, double reach) {
    return {centre - reach, centre + reach};
}

void add_limits(StripLaw& law) {
    const std::size_t df = law.basis == LimitBasis::scatter ? law.strips - 2 : 0;
    law.quantile_95 = two_sided_quantile(0.95, df);
    law.quantile_80 = two_sided_quantile(0.80, df);
    const double ea_sd = ea_from_slope(law.slope_sd_k);
    law.ea_kj_per_mol = ea_from_slope(law.slope_k);
    law.ea_95 = about(law.ea_kj_per_mol, law.quantile_95 * ea_sd);
    law.ea_80 = about(law.ea_kj_per_mol, law.quantile_80 * ea_sd);
    const double per_10 = inverse_kelvin(law.hottest_c - 10.0) - inverse_kelvin(law.hottest_c);
    const auto factor = [&](double slope_k) { return std::exp(slope_k * per_10); };
    law.factor_per_10_c = factor(law.slope_k);
    const auto factor_limits = [&](double quantile) {
        const Limits slope = about(law.slope_k, quantile * law.slope_sd_k);
        return Limits{factor(slope.low), factor(slope.high)};
    };
    law.factor_95 = factor_limits(law.quantile_95);
    law.factor_80 = factor_limits(law.quantile_80);
}

}  // namespace

Outcome<StripLaw, StripLawWhy> strip_law(std::span<const WatchedStrip> strips, std::optional<LimitBasis> basis) {
    if (const auto fault = fault_of(strips)) {
        return *fault;
    }
    StripLaw law;
    law.strips = strips.size();
    const auto [coolest, hottest] = std::minmax_element(
        strips.begin(), strips.end(), [](const auto& a, const auto& b) { return a.temp_c < b.temp_c; });
    law.coolest_c = coolest->temp_c;
    law.hottest_c = hottest->temp_c;
    if (law.hottest_c - law.coolest_c < kClosestTemps_c) {
        return StripLawWhy::temps_too_close;
    }
    law.basis = strips.size() == 2 ? LimitBasis::own_error : basis.value_or(LimitBasis::scatter);
    fit_line(law, strips);
    if (law.slope_k <= 0.0) {
        return StripLawWhy::hotter_was_slower;
    }
    add_limits(law);
    return law;
}

Outcome<TimePrediction, StripLawWhy> predict(const StripLaw& law, double temp_c) {
    if (!std::isfinite(temp_c) || temp_c < 0.0 || temp_c > 100.0) {
        return StripLawWhy::bad_input;
    }
    const double nearest_c = std::clamp(temp_c, law.coolest_c, law.hottest_c);
    TimePrediction p;
    p.outside_by_c = std::abs(temp_c - nearest_c);
    if (p.outside_by_c > std::min(kFurthestBeyond_c, law.hottest_c - law.coolest_c)) {
        return StripLawWhy::too_far_outside;
    }
    const double x = inverse_kelvin(temp_c) - law.inv_temp_per_k;
    const double log_time = law.log_time + law.slope_k * x;
    const double beyond = std::abs(inverse_kelvin(temp_c) - inverse_kelvin(nearest_c));
    const double widening = 1000.0 * kBeyondEaSd_kj_per_mol / kGasConstant_j_per_mol_k * beyond;
    p.time_s = std::exp(log_time);
    p.log_sd = std::hypot(law.log_time_sd, law.slope_sd_k * x, widening);
    const auto limits = [&](double quantile) {
        return Limits{std::exp(log_time - quantile * p.log_sd), std::exp(log_time + quantile * p.log_sd)};
    };
    p.limits_95 = limits(law.quantile_95);
    p.limits_80 = limits(law.quantile_80);
    return p;
}

}  // namespace tonebath::science
