// Strength from strips: how a bath slows down with age.
//
//   first order  log t = log t0 + r h               half-life = ln 2 / r
//   zero order   log t = log t0 - log(1 - r h)      nothing left at 1/r
//   none         log t = log t0
//
// t = temperature-corrected seconds to the same tone, h = hours since make-up. Times 12, 14, 17, 20, 24 s at hours
// 0 to 4 give a half-life of 3.98 h, 28.5 s at 5 h, three times slower at 6.3 h. See docs/formulas/strength.md.
#pragma once

#include "science/dose.hpp"
#include "science/outcome.hpp"
#include "science/two_strips.hpp"

#include <cstddef>
#include <optional>
#include <span>

namespace tonebath::science {

struct AgedStrip {
    double age_h = 0.0;
    double time_s = 0.0;  // corrected to one temperature, see time_at_temp
    double log_sd = 0.06;
};

// Seconds the strip would have needed at to_temp_c. nullopt on bad input.
[[nodiscard]] std::optional<double> time_at_temp(double time_s, double temp_c, double to_temp_c, double ea_kj_per_mol);

// Open end: no limit can be given on that side.
struct OpenLimits {
    std::optional<double> low = std::nullopt;
    std::optional<double> high = std::nullopt;
};

// One law fitted to the strips.
struct FadeLine {
    FadeKind kind = FadeKind::first_order;
    std::size_t strips = 0;
    double fresh_time_s = 0.0;
    double rate_per_h = 0.0;
    Limits rate_95 = {};
    Limits rate_80 = {};
    double residual_log_sd = 0.0;       // 0 for two strips
    std::optional<double> half_life_h;  // nullopt: it does not fade
    OpenLimits half_life_95 = {};
    LimitBasis basis = LimitBasis::scatter;  // own_error for two strips
    std::optional<double> aicc;              // needs five strips
    // For limits at age h: sd^2 = log_time_sd^2 + (lever(h) - mean_lever_h)^2 rate_sd^2, lever = h, or h/(1 - r h).
    double mean_lever_h = 0.0;
    double log_time_sd = 0.0;
    double rate_sd_per_h = 0.0;
    double quantile_95 = 0.0;
    double quantile_80 = 0.0;
};

enum class FadeWhy {
    too_few,     // fewer than two strips
    bad_input,   // not finite, age below zero, time or error not above zero
    one_age,     // all of one age
    bath_spent,  // zero order: nothing left at that age
};

// Least squares on log time, all strips alike.
[[nodiscard]] Outcome<FadeLine, FadeWhy> fade_line(std::span<const AgedStrip> strips, FadeKind kind);

// Which law the records favour, by AICc (small-sample Akaike criterion, error estimated): named only when it is lower
// than the others' by 2 or more (Burnham and Anderson 2002, from memory). Fewer than five strips: cannot tell.
struct FadeChoice {
    std::optional<FadeKind> favoured;        // nullopt: cannot tell
    std::optional<bool> fades;               // does any fade beat none, by the same rule; nullopt: cannot tell
    std::optional<double> zero_minus_first;  // AICc difference; below zero favours zero order
    FadeLine none;
    FadeLine first_order;
    FadeLine zero_order;
};
[[nodiscard]] Outcome<FadeChoice, FadeWhy> compare_fade(std::span<const AgedStrip> strips);

// Expected seconds at age_h, with the line's own limits.
struct AgedTime {
    double time_s = 0.0;
    Limits limits_95 = {};
    Limits limits_80 = {};
};
[[nodiscard]] Outcome<AgedTime, FadeWhy> time_at_age(const FadeLine& line, double age_h);

// Age at which it takes `factor` (above 1) times as long as fresh; nullopt when it never does.
[[nodiscard]] std::optional<double> slow_by_h(const FadeLine& line, double factor = 3.0);

// Age in hours at which this share of the fresh strength is left (0 to 1, ends apart). nullopt when it never is, or on bad
// input.
[[nodiscard]] std::optional<double> age_at_strength_h(const RateLaw& law, double left);

// First-order arithmetic. nullopt on bad input.
[[nodiscard]] std::optional<double> half_life_of(double rate);
[[nodiscard]] std::optional<double> rate_of_half_life(double half_life);
// Time until `share_gone` (0 to 1) is gone at a first-order rate.
[[nodiscard]] std::optional<double> time_until_gone(double share_gone, double rate);

}  // namespace tonebath::science
