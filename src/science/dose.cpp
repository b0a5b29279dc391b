#include "science/dose.hpp"

#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>

namespace tonebath::science {

namespace {

constexpr double kSecondsPerHour = 3600.0;
constexpr double kPanel_s = 60.0;
constexpr double kLongestSpan_s = 60.0 * 86400.0;  // ours: beyond 60 days no bath is in use
constexpr std::uintmax_t kMostSteps = 200;

double inverse_kelvin(double temp_c) {
    return 1.0 / (temp_c + kZeroCelsius_k);
}

// 1/T0 - 1/T over R, in mol/kJ: the lever of Ea on log speed.
double heat_lever(double temp_c) {
    return 1000.0 / kGasConstant_j_per_mol_k * (inverse_kelvin(kReferenceTemp_c) - inverse_kelvin(temp_c));
}

double temp_from_lever(double lever) {
    return 1.0 / (inverse_kelvin(kReferenceTemp_c) - lever * kGasConstant_j_per_mol_k / 1000.0) - kZeroCelsius_k;
}

bool is_water(double temp_c) {
    return std::isfinite(temp_c) && temp_c > -kZeroCelsius_k && temp_c < 1000.0;
}

// Speed without fade.
double speed_when_fresh(const BathCourse& course, const RateLaw& law, double t_s) {
    return std::exp(course.log_speed + law.strength_exponent * log_strength_ratio(course, t_s)) * course.agitation *
           heat_factor(course.temp.temp_c(t_s), law.ea_kj_per_mol);
}

// Ends of the smooth pieces between t0 and t1, both included.
std::vector<double> smooth_ends(const BathCourse& course, const RateLaw& law, double t0_s, double t1_s) {
    std::vector<double> ends = {t0_s};
    const auto add = [&](double t_s) {
        if (t_s > t0_s && t_s < t1_s) {
            ends.push_back(t_s);
        }
    };
    std::for_each(course.temp.breaks_s().begin(), course.temp.breaks_s().end(), add);
    for (const StrengthStep& step : course.strength) {
        add(step.t_s);
    }
    add(0.0);
    if (const auto spent_s = spent_at_s(law)) {
        add(*spent_s);
    }
    std::sort(ends.begin(), ends.end());
    ends.push_back(t1_s);
    return ends;
}

// Calls visit(from, to) for panels of at most kPanel_s until it returns false.
template <class Visit>
void for_each_panel(const std::vector<double>& ends, const Visit& visit) {
    for (std::size_t i = 1; i < ends.size(); ++i) {
        const double length_s = ends[i] - ends[i - 1];
        const double panels = std::max(1.0, std::ceil(length_s / kPanel_s));
        for (double p = 0.0; p < panels; p += 1.0) {
            const double from_s = ends[i - 1] + length_s * (p / panels);
            const double to_s = p + 1.0 < panels ? ends[i - 1] + length_s * ((p + 1.0) / panels) : ends[i];
            if (!visit(from_s, to_s)) {
                return;
            }
        }
    }
}

template <class F>
double panel_integral(const F& f, double from_s, double to_s) {
    return from_s < to_s ? boost::math::quadrature::gauss<double, 15>::integrate(f, from_s, to_s) : 0.0;
}

template <class F>
double integral(const std::vector<double>& ends, const F& f) {
    double sum = 0.0;
    for_each_panel(ends, [&](double from_s, double to_s) {
        sum += panel_integral(f, from_s, to_s);
        return true;
    });
    return sum;
}

bool is_span(double t0_s, double t1_s) {
    return std::isfinite(t0_s) && std::isfinite(t1_s) && t1_s >= t0_s && t1_s - t0_s <= kLongestSpan_s;
}

// The moment within a panel at which `missing` more dose is in; the panel holds at least that much.
template <class F>
double moment_of(const F& rate, double from_s, double to_s, double missing, double panel_dose) {
    if (missing >= panel_dose) {
        return to_s;
    }
    const auto off = [&](double t_s) { return panel_integral(rate, from_s, t_s) - missing; };
    std::uintmax_t steps = kMostSteps;
    const auto bracket = boost::math::tools::toms748_solve(off, from_s, to_s, -missing, panel_dose - missing,
                                                           boost::math::tools::eps_tolerance<double>(50), steps);
    return std::midpoint(bracket.first, bracket.second);
}

}  // namespace

double heat_factor(double temp_c, double ea_kj_per_mol) {
    return std::exp(ea_kj_per_mol * heat_lever(temp_c));
}

double strength_left(double age_h, const RateLaw& law) {
    const double h = std::max(0.0, age_h);
    switch (law.fade) {
        case FadeKind::none:
            return 1.0;
        case FadeKind::first_order:
            return std::exp(-law.fade_per_h * h);
        case FadeKind::zero_order:
            return std::max(0.0, 1.0 - law.fade_per_h * h);
    }
    return 1.0;
}

std::optional<double> spent_at_s(const RateLaw& law) {
    if (law.fade != FadeKind::zero_order || law.fade_per_h <= 0.0) {
        return std::nullopt;
    }
    return kSecondsPerHour / law.fade_per_h;
}

std::optional<double> ea_from_factor(double factor, double cold_c, double hot_c) {
    if (!std::isfinite(factor) || factor <= 0.0 || !is_water(cold_c) || !is_water(hot_c) || hot_c <= cold_c) {
        return std::nullopt;
    }
    return std::log(factor) / (heat_lever(hot_c) - heat_lever(cold_c));
}

double factor_per_10_c(double ea_kj_per_mol, double around_c) {
    return std::exp(ea_kj_per_mol * (heat_lever(around_c + 5.0) - heat_lever(around_c - 5.0)));
}

double log_strength_ratio(const BathCourse& course, double t_s) {
    const auto next = std::upper_bound(course.strength.begin(), course.strength.end(), t_s,
                                       [](double t, const StrengthStep& step) { return t < step.t_s; });
    if (next == course.strength.begin()) {
        return 0.0;
    }
    const StrengthStep& step = *(next - 1);
    return step.log_ratio + step.drift_per_h * (t_s - step.t_s) / kSecondsPerHour;
}

bool is_sound(const BathCourse& course, const RateLaw& law) {
    const auto finite = [](double x) { return std::isfinite(x); };
    const bool law_sound = finite(law.ea_kj_per_mol) && finite(law.strength_exponent) &&
                           (law.fade == FadeKind::none || (finite(law.fade_per_h) && law.fade_per_h >= 0.0));
    const bool steps_sound = std::all_of(course.strength.begin(), course.strength.end(), [&](const StrengthStep& s) {
        return finite(s.t_s) && finite(s.log_ratio) && finite(s.drift_per_h);
    });
    const bool steps_rise = std::is_sorted(course.strength.begin(), course.strength.end(),
                                           [](const auto& a, const auto& b) { return a.t_s < b.t_s; });
    return law_sound && steps_sound && steps_rise && finite(course.agitation) && course.agitation > 0.0 &&
           finite(course.log_speed) && is_water(course.temp.temp_c(0.0));
}

double rate_at(const BathCourse& course, const RateLaw& law, double t_s) {
    return strength_left(t_s / kSecondsPerHour, law) * speed_when_fresh(course, law, t_s);
}

std::optional<double> dose_s(const BathCourse& course, const RateLaw& law, double t0_s, double t1_s) {
    if (!is_span(t0_s, t1_s) || !is_sound(course, law)) {
        return std::nullopt;
    }
    const double dose =
        integral(smooth_ends(course, law, t0_s, t1_s), [&](double t) { return rate_at(course, law, t); });
    return std::isfinite(dose) ? std::optional(dose) : std::nullopt;
}

Outcome<double, NotReached> out_time_s(const BathCourse& course, const RateLaw& law, double t0_s, double wanted_dose_s,
                                       double limit_s) {
    const bool sound = std::isfinite(wanted_dose_s) && wanted_dose_s > 0.0 && std::isfinite(limit_s) && limit_s > 0.0 &&
                       is_span(t0_s, t0_s + limit_s) && is_sound(course, law);
    if (!sound) {
        return NotReached{NeverWhy::bad_input, 0.0};
    }
    const auto rate = [&](double t) { return rate_at(course, law, t); };
    double so_far = 0.0;
    std::optional<double> out_s;
    for_each_panel(smooth_ends(course, law, t0_s, t0_s + limit_s), [&](double from_s, double to_s) {
        const double panel_dose = panel_integral(rate, from_s, to_s);
        if (so_far + panel_dose >= wanted_dose_s) {
            out_s = moment_of(rate, from_s, to_s, wanted_dose_s - so_far, panel_dose);
            return false;
        }
        so_far += panel_dose;
        return std::isfinite(so_far);
    });
    if (out_s) {
        return *out_s;
    }
    if (!std::isfinite(so_far)) {
        return NotReached{NeverWhy::bad_input, 0.0};
    }
    const auto spent_s = spent_at_s(law);
    const bool spent = spent_s && *spent_s <= t0_s + limit_s;
    return NotReached{spent ? NeverWhy::bath_spent : NeverWhy::not_within_limit, so_far};
}

Outcome<double, NotReached> matched_seconds(const BathCourse& course, const RateLaw& law, double t0_s,
                                            double wanted_dose_s, double limit_s) {
    const auto out_s = out_time_s(course, law, t0_s, wanted_dose_s, limit_s);
    if (!out_s) {
        return out_s.why();
    }
    return *out_s - t0_s;
}

Outcome<double, NotReached> look_now_s(const BathCourse& course, const RateLaw& law, double t0_s, double wanted_dose_s,
                                       double share) {
    if (!(share > 0.0 && share <= 1.0)) {
        return NotReached{NeverWhy::bad_input, 0.0};
    }
    return out_time_s(course, law, t0_s, share * wanted_dose_s);
}

std::optional<double> convert_dose(double seconds, double from_temp_c, const RateLaw& law) {
    if (!std::isfinite(seconds) || seconds < 0.0 || !is_water(from_temp_c) || !std::isfinite(law.ea_kj_per_mol)) {
        return std::nullopt;
    }
    return seconds * heat_factor(from_temp_c, law.ea_kj_per_mol);
}

std::optional<double> dose_as_seconds_at(double dose_s, double at_temp_c, const RateLaw& law) {
    return seconds_at(dose_s, at_temp_c, 1.0, law);
}

std::optional<double> seconds_at(double dose_s, double temp_c, double strength, const RateLaw& law) {
    if (!std::isfinite(dose_s) || dose_s < 0.0 || !is_water(temp_c) || !std::isfinite(strength) || strength <= 0.0 ||
        !std::isfinite(law.ea_kj_per_mol)) {
        return std::nullopt;
    }
    return dose_s / (strength * heat_factor(temp_c, law.ea_kj_per_mol));
}

std::optional<DoseSensitivity> dose_sensitivity(const BathCourse& course, const RateLaw& law, double t0_s,
                                                double t1_s) {
    const auto dose = dose_s(course, law, t0_s, t1_s);
    if (!dose || *dose <= 0.0) {
        return std::nullopt;
    }
    const std::vector<double> ends = smooth_ends(course, law, t0_s, t1_s);
    const auto weighted = [&](const auto& f) {
        return integral(ends, [&](double t) { return rate_at(course, law, t) * f(t); }) / *dose;
    };
    // d rate / d fade: for zero order the rate itself may be zero, so the factor s is left out rather than divided by.
    const auto fade_slope = [&](double t) {
        const double h = std::max(0.0, t / kSecondsPerHour);
        const double left = strength_left(h, law);
        switch (law.fade) {
            case FadeKind::none:
                return 0.0;
            case FadeKind::first_order:
                return -h * left * speed_when_fresh(course, law, t);
            case FadeKind::zero_order:
                return left > 0.0 ? -h * speed_when_fresh(course, law, t) : 0.0;
        }
        return 0.0;
    };
    DoseSensitivity s;
    s.dose_s = *dose;
    s.d_ea_per_kj_per_mol = weighted([&](double t) { return heat_lever(course.temp.temp_c(t)); });
    s.d_exponent = weighted([&](double t) { return log_strength_ratio(course, t); });
    s.d_fade_h = integral(ends, fade_slope) / *dose;
    s.log_sd_from_temp = std::abs(weighted([&](double t) {
        const double inverse = inverse_kelvin(course.temp.temp_c(t));
        return 1000.0 * law.ea_kj_per_mol / kGasConstant_j_per_mol_k * inverse * inverse * course.temp.sd_c(t);
    }));
    return s;
}

std::optional<double> effective_temp_c(const BathCourse& course, const RateLaw& law, double t0_s, double t1_s) {
    if (!is_span(t0_s, t1_s) || !is_sound(course, law)) {
        return std::nullopt;
    }
    if (t0_s == t1_s) {
        return course.temp.temp_c(t0_s);
    }
    const std::vector<double> ends = smooth_ends(course, law, t0_s, t1_s);
    const double length_s = t1_s - t0_s;
    constexpr double no_effect = 1e-6;  // kJ/mol: below it the plain mean
    if (std::abs(law.ea_kj_per_mol) < no_effect) {
        return integral(ends, [&](double t) { return course.temp.temp_c(t); }) / length_s;
    }
    const double mean =
        integral(ends, [&](double t) { return heat_factor(course.temp.temp_c(t), law.ea_kj_per_mol); }) / length_s;
    return temp_from_lever(std::log(mean) / law.ea_kj_per_mol);
}

std::optional<double> total_dose_s(const BathCourse& course, const RateLaw& law, std::span<const DipTimes> dips) {
    double sum = 0.0;
    for (const DipTimes& dip : dips) {
        const auto one = dose_s(course, law, dip.in_s, dip.out_s);
        if (!one || !std::isfinite(dip.agitation) || dip.agitation <= 0.0) {
            return std::nullopt;
        }
        sum += *one * dip.agitation;
    }
    return sum;
}

}  // namespace tonebath::science
