#include "science/fade.hpp"

#include "science/students_t.hpp"

#include <boost/math/tools/minima.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tonebath::science {

namespace {

constexpr std::size_t kFewestForAicc = 5;
constexpr double kClearAicc = 2.0;
constexpr double kNearlySpent = 1.0 - 1e-9;
constexpr int kBits = 40;
constexpr int kGrid = 400;

std::optional<FadeWhy> fault_of(std::span<const AgedStrip> strips) {
    for (const AgedStrip& s : strips) {
        if (!std::isfinite(s.age_h) || s.age_h < 0.0 || !std::isfinite(s.time_s) || s.time_s <= 0.0 ||
            !std::isfinite(s.log_sd) || s.log_sd <= 0.0) {
            return FadeWhy::bad_input;
        }
    }
    if (strips.size() < 2) {
        return FadeWhy::too_few;
    }
    const bool one_age =
        std::all_of(strips.begin(), strips.end(), [&](const AgedStrip& s) { return s.age_h == strips.front().age_h; });
    return one_age ? std::optional(FadeWhy::one_age) : std::nullopt;
}

double count(std::span<const AgedStrip> strips) {
    return static_cast<double>(strips.size());
}

// log(t / t0) at age h; +infinity when the bath is spent.
double log_slowing(FadeKind kind, double rate_per_h, double h) {
    switch (kind) {
        case FadeKind::none:
            return 0.0;
        case FadeKind::first_order:
            return rate_per_h * h;
        case FadeKind::zero_order:
            return rate_per_h * h < 1.0 ? -std::log1p(-rate_per_h * h) : std::numeric_limits<double>::infinity();
    }
    return 0.0;
}

// Slope of log_slowing with the rate.
double lever_h(FadeKind kind, double rate_per_h, double h) {
    switch (kind) {
        case FadeKind::none:
            return 0.0;
        case FadeKind::first_order:
            return h;
        case FadeKind::zero_order:
            return h / (1.0 - rate_per_h * h);
    }
    return 0.0;
}

double log_fresh_time(std::span<const AgedStrip> strips, FadeKind kind, double rate_per_h) {
    double sum = 0.0;
    for (const AgedStrip& s : strips) {
        sum += std::log(s.time_s) - log_slowing(kind, rate_per_h, s.age_h);
    }
    return sum / count(strips);
}

double sum_of_squares(std::span<const AgedStrip> strips, FadeKind kind, double rate_per_h) {
    const double log_t0 = log_fresh_time(strips, kind, rate_per_h);
    double sum = 0.0;
    for (const AgedStrip& s : strips) {
        const double off = std::log(s.time_s) - log_t0 - log_slowing(kind, rate_per_h, s.age_h);
        sum += off * off;
    }
    return sum;
}

double first_order_rate(std::span<const AgedStrip> strips) {
    double mean_h = 0.0;
    double mean_y = 0.0;
    for (const AgedStrip& s : strips) {
        mean_h += s.age_h / count(strips);
        mean_y += std::log(s.time_s) / count(strips);
    }
    double hh = 0.0;
    double hy = 0.0;
    for (const AgedStrip& s : strips) {
        hh += (s.age_h - mean_h) * (s.age_h - mean_h);
        hy += (s.age_h - mean_h) * (std::log(s.time_s) - mean_y);
    }
    return hy / hh;
}

// Between gaining and losing all strength by the oldest strip: least squares by a grid on u = r h_oldest, then Brent.
double zero_order_rate(std::span<const AgedStrip> strips) {
    double oldest_h = 0.0;
    for (const AgedStrip& s : strips) {
        oldest_h = std::max(oldest_h, s.age_h);
    }
    // u = 1 - exp(-v): even steps in v are even steps of log time at the oldest strip.
    const auto rate = [&](double v) { return std::min(-std::expm1(-v), kNearlySpent) / oldest_h; };
    const auto cost = [&](double v) { return sum_of_squares(strips, FadeKind::zero_order, rate(v)); };
    constexpr double widest = 10.0;
    constexpr double spacing = 2.0 * widest / kGrid;
    double best = -widest;
    for (int i = 1; i <= kGrid; ++i) {
        const double v = -widest + spacing * i;
        best = cost(v) < cost(best) ? v : best;
    }
    return rate(boost::math::tools::brent_find_minima(cost, best - spacing, best + spacing, kBits).first);
}

double best_rate(std::span<const AgedStrip> strips, FadeKind kind) {
    switch (kind) {
        case FadeKind::none:
            return 0.0;
        case FadeKind::first_order:
            return first_order_rate(strips);
        case FadeKind::zero_order:
            return zero_order_rate(strips);
    }
    return 0.0;
}

// Residual log-sd with n - 2 (n - 1 for none) degrees of freedom, or the strips' own error where none are left.
void add_errors(FadeLine& line, std::span<const AgedStrip> strips, double rss) {
    const std::size_t fitted = line.kind == FadeKind::none ? 1 : 2;
    const std::size_t df = strips.size() - fitted;
    double log_sd = 0.0;
    if (df == 0) {
        line.basis = LimitBasis::own_error;
        double var = 0.0;
        for (const AgedStrip& s : strips) {
            var += s.log_sd * s.log_sd / count(strips);
        }
        log_sd = std::sqrt(var);
    } else {
        line.residual_log_sd = std::sqrt(rss / static_cast<double>(df));
        log_sd = std::max(line.residual_log_sd, kLeastScatter);
    }
    line.quantile_95 = two_sided_quantile(0.95, df);
    line.quantile_80 = two_sided_quantile(0.80, df);
    line.log_time_sd = log_sd / std::sqrt(count(strips));
    for (const AgedStrip& s : strips) {
        line.mean_lever_h += lever_h(line.kind, line.rate_per_h, s.age_h) / count(strips);
    }
    double levers = 0.0;
    for (const AgedStrip& s : strips) {
        const double off = lever_h(line.kind, line.rate_per_h, s.age_h) - line.mean_lever_h;
        levers += off * off;
    }
    line.rate_sd_per_h = line.kind == FadeKind::none ? 0.0 : log_sd / std::sqrt(levers);
    const auto limits = [&](double q) {
        return Limits{line.rate_per_h - q * line.rate_sd_per_h, line.rate_per_h + q * line.rate_sd_per_h};
    };
    line.rate_95 = limits(line.quantile_95);
    line.rate_80 = limits(line.quantile_80);
}

std::optional<double> half_life_at(FadeKind kind, double rate_per_h) {
    if (kind == FadeKind::none || !(rate_per_h > 0.0)) {
        return std::nullopt;
    }
    return (kind == FadeKind::first_order ? std::numbers::ln2 : 0.5) / rate_per_h;
}

// Akaike's criterion with the small-sample term (Hurvich and Tsai 1989, from memory); the error counts as fitted.
std::optional<double> aicc_of(FadeKind kind, std::size_t strips, double rss) {
    if (strips < kFewestForAicc) {
        return std::nullopt;
    }
    const double n = static_cast<double>(strips);
    const double fitted = kind == FadeKind::none ? 2.0 : 3.0;
    const double mean_square = std::max(rss / n, kLeastScatter * kLeastScatter);
    return n * std::log(mean_square) + 2.0 * fitted + 2.0 * fitted * (fitted + 1.0) / (n - fitted - 1.0);
}

}  // namespace

std::optional<double> time_at_temp(double time_s, double temp_c, double to_temp_c, double ea_kj_per_mol) {
    const RateLaw law{.ea_kj_per_mol = ea_kj_per_mol};
    const auto dose = convert_dose(time_s, temp_c, law);
    return dose ? dose_as_seconds_at(*dose, to_temp_c, law) : std::nullopt;
}

Outcome<FadeLine, FadeWhy> fade_line(std::span<const AgedStrip> strips, FadeKind kind) {
    if (const auto fault = fault_of(strips)) {
        return *fault;
    }
    FadeLine line;
    line.kind = kind;
    line.strips = strips.size();
    line.rate_per_h = best_rate(strips, kind);
    line.fresh_time_s = std::exp(log_fresh_time(strips, kind, line.rate_per_h));
    const double rss = sum_of_squares(strips, kind, line.rate_per_h);
    add_errors(line, strips, rss);
    line.half_life_h = half_life_at(kind, line.rate_per_h);
    line.half_life_95 = {half_life_at(kind, line.rate_95.high), half_life_at(kind, line.rate_95.low)};
    line.aicc = aicc_of(kind, strips.size(), rss);
    return line;
}

Outcome<FadeChoice, FadeWhy> compare_fade(std::span<const AgedStrip> strips) {
    const auto first = fade_line(strips, FadeKind::first_order);
    if (!first) {
        return first.why();
    }
    FadeChoice choice;
    choice.first_order = *first;
    choice.zero_order = fade_line(strips, FadeKind::zero_order).value();
    choice.none = fade_line(strips, FadeKind::none).value();
    if (!choice.first_order.aicc) {
        return choice;
    }
    choice.zero_minus_first = *choice.zero_order.aicc - *choice.first_order.aicc;
    const FadeLine& better = *choice.zero_minus_first < 0.0 ? choice.zero_order : choice.first_order;
    const double fade_minus_none = *better.aicc - *choice.none.aicc;
    if (std::abs(fade_minus_none) >= kClearAicc) {
        choice.fades = fade_minus_none < 0.0;
    }
    if (choice.fades == false) {
        choice.favoured = FadeKind::none;
    } else if (choice.fades == true && std::abs(*choice.zero_minus_first) >= kClearAicc) {
        choice.favoured = better.kind;
    }
    return choice;
}

Outcome<AgedTime, FadeWhy> time_at_age(const FadeLine& line, double age_h) {
    if (!std::isfinite(age_h) || age_h < 0.0) {
        return FadeWhy::bad_input;
    }
    const double log_time = std::log(line.fresh_time_s) + log_slowing(line.kind, line.rate_per_h, age_h);
    if (!std::isfinite(log_time)) {
        return FadeWhy::bath_spent;
    }
    const double lever = lever_h(line.kind, line.rate_per_h, age_h);
    const double log_sd = std::hypot(line.log_time_sd, (lever - line.mean_lever_h) * line.rate_sd_per_h);
    const auto limits = [&](double q) {
        return Limits{std::exp(log_time - q * log_sd), std::exp(log_time + q * log_sd)};
    };
    return AgedTime{std::exp(log_time), limits(line.quantile_95), limits(line.quantile_80)};
}

std::optional<double> slow_by_h(const FadeLine& line, double factor) {
    if (!std::isfinite(factor) || factor <= 1.0 || line.kind == FadeKind::none || line.rate_per_h <= 0.0) {
        return std::nullopt;
    }
    return (line.kind == FadeKind::first_order ? std::log(factor) : 1.0 - 1.0 / factor) / line.rate_per_h;
}

std::optional<double> age_at_strength_h(const RateLaw& law, double left) {
    if (!(left > 0.0) || !(left < 1.0) || law.fade == FadeKind::none || !(law.fade_per_h > 0.0) || !std::isfinite(law.fade_per_h)) {
        return std::nullopt;
    }
    return law.fade == FadeKind::first_order ? -std::log(left) / law.fade_per_h : (1.0 - left) / law.fade_per_h;
}

std::optional<double> half_life_of(double rate) {
    return std::isfinite(rate) && rate > 0.0 ? std::optional(std::numbers::ln2 / rate) : std::nullopt;
}

std::optional<double> rate_of_half_life(double half_life) {
    return half_life_of(half_life);
}

std::optional<double> time_until_gone(double share_gone, double rate) {
    if (!std::isfinite(rate) || rate <= 0.0 || !(share_gone >= 0.0 && share_gone < 1.0)) {
        return std::nullopt;
    }
    return -std::log1p(-share_gone) / rate;
}

}  // namespace tonebath::science
