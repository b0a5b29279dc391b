// The regression of the reference cases: log h on log time, strength, temperature, age, with a bath offset. Its own
// priors (tests/cases/statistics/bayes/expected.json), which are not the program's.
#pragma once

#include "science/mixed_regression.hpp"
#include "science/statistics_cases.hpp"

#include <array>
#include <cmath>
#include <string>
#include <vector>

namespace dip_model {

namespace sc = tonebath::science;

inline constexpr std::size_t kCoefs = 5;  // b0, m, ea, lambda, p
inline const std::array<std::string, kCoefs> kNames = {"b0", "m", "ea", "lambda", "p"};

inline double x_ea(double temp_c) { return -(1000.0 / 8.314462618) * (1.0 / (temp_c + 273.15) - 1.0 / 323.15); }

inline std::array<sc::Term, kCoefs> terms(double ratio, double temp_c, double age_h, double time_s) {
    return {sc::Term{0, 1.0}, sc::Term{1, std::log(ratio)}, sc::Term{2, x_ea(temp_c)}, sc::Term{3, -age_h},
            sc::Term{4, std::log(time_s / 30.0)}};
}

inline sc::CoefPrior prior() {
    const std::array<double, kCoefs> mean = {std::log(50.0), 0.8, 40.0, 0.04, 0.6};
    const std::array<double, kCoefs> sd = {1.5, 0.3, 15.0, 0.04, 0.2};
    return sc::CoefPrior::independent(mean, sd);
}

inline sc::MixedModel model() {
    sc::MixedModel m;
    m.coef = prior();
    m.scatter = {0.12, 0.4};
    m.group = {0.15, 0.5};
    return m;
}

inline void add_reading(sc::MixedData& data, std::span<const sc::Term> t, std::optional<std::size_t> group, double lower,
                        double upper) {
    sc::MixedRow row{t, group};
    if (std::isnan(lower)) {
        row.kind = sc::RowKind::at_most;
        row.upper.value = std::log(upper);
    } else if (std::isnan(upper)) {
        row.kind = sc::RowKind::at_least;
        row.lower.value = std::log(lower);
    } else if (lower == upper) {
        row.kind = sc::RowKind::exact;
        row.lower.value = std::log(lower);
    } else {
        row.kind = sc::RowKind::interval;
        row.lower.value = std::log(lower);
        row.upper.value = std::log(upper);
    }
    data.add(row);
}

// First `rows` rows of a case file; bath n becomes group n - 1.
inline sc::MixedData data(const statistics_cases::Table& t, std::size_t rows, std::size_t groups) {
    sc::MixedData out(kCoefs, groups);
    for (std::size_t i = 0; i < rows; ++i) {
        const auto x = terms(t["conc_ratio"][i], t["temp_c"][i], t["age_h"][i], t["time_s"][i]);
        add_reading(out, x, static_cast<std::size_t>(t["bath"][i]) - 1, t["h_lower"][i], t["h_upper"][i]);
    }
    return out;
}

// P(log(t/30) < x): the dip time at which the median dip of this bath reaches log_target. Crossing of A + x p.
inline double dip_time_cdf(const sc::MixedFit& fit, double ratio, double temp_c, double age_h, std::size_t bath,
                           double log_target, double x) {
    auto a = terms(ratio, temp_c, age_h, 30.0);
    a[4].value = x;
    double sum = 0.0;
    for (const sc::NormalPart& part : fit.mixture({a, bath})) {
        sum += part.weight * 0.5 * std::erfc(-(part.mean - log_target) / std::sqrt(2.0 * part.var));
    }
    return sum;
}

inline double dip_time_quantile(const sc::MixedFit& fit, double ratio, double temp_c, double age_h, std::size_t bath,
                                double target_h, double p) {
    double low = -8.0;
    double high = 8.0;
    for (int i = 0; i < 80; ++i) {
        const double middle = 0.5 * (low + high);
        (dip_time_cdf(fit, ratio, temp_c, age_h, bath, std::log(target_h), middle) < p ? low : high) = middle;
    }
    return 30.0 * std::exp(0.5 * (low + high));
}

}  // namespace dip_model
