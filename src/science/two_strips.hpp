// "Your strips alone": how much faster when hotter, from watched strips and nothing else.
//
//   log t = c + (Ea/R) / T       two strips: the line through both; more: weighted least squares on 1/T
//
// Two-point form as OpenStax Chemistry 2e, section 12.5. 40 s at 60 °C and 78 s at 50 °C: 1.95 times per 10 °C,
// 59.8 kJ/mol, 68 s at 52 °C. Sources, limits and the cut-offs that are ours: docs/formulas/strength.md.
#pragma once

#include "science/outcome.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

namespace tonebath::science {

// A strip pulled just as it reached the tone, in a bath whose temperature hardly moved meanwhile.
struct WatchedStrip {
    double time_s = 0.0;
    double temp_c = 0.0;
    double log_sd = 0.06;                               // own error of the moment of pulling, in log time
    std::optional<std::int64_t> number = std::nullopt;  // of the strip; two of one number are one strip
};

struct Limits {
    double low = 0.0;
    double high = 0.0;
};

// Where the limits come from.
enum class LimitBasis {
    own_error,  // each strip's own log_sd, normal limits
    scatter,    // how far the strips lie off the line, Student's t with n - 2 degrees of freedom
};

inline constexpr double kClosestTemps_c = 3.0;          // ours: nearer than this and the limits on Ea say nothing
inline constexpr double kFurthestBeyond_c = 15.0;       // ours: and never further outside than the tried range is wide
inline constexpr double kLeastScatter = 0.005;          // ours: scatter below this is luck (times are whole seconds)
inline constexpr double kBeyondEaSd_kj_per_mol = 10.0;  // ours: extra doubt about Ea outside the tried range

// The line. Use predict() to read it.
struct StripLaw {
    std::size_t strips = 0;
    double ea_kj_per_mol = 0.0;
    Limits ea_95 = {};
    Limits ea_80 = {};
    double factor_per_10_c = 0.0;  // from 10 °C colder to the hottest tried; for two strips 10 °C apart: t2/t1
    Limits factor_95 = {};
    Limits factor_80 = {};
    double coolest_c = 0.0;  // tried range
    double hottest_c = 0.0;
    LimitBasis basis = LimitBasis::own_error;
    // log t = log_time + slope (1/T - inv_temp), at the weighted mean of 1/T.
    double inv_temp_per_k = 0.0;
    double log_time = 0.0;
    double slope_k = 0.0;
    double log_time_sd = 0.0;
    double slope_sd_k = 0.0;
    double quantile_95 = 0.0;  // half-width of the limits in standard errors (normal or Student's t)
    double quantile_80 = 0.0;
};

enum class StripLawWhy {
    too_few,            // fewer than two strips
    bad_input,          // not finite, time or error not above zero, temperature outside 0 to 100 °C
    same_strip,         // one strip given twice
    temps_too_close,    // all within kClosestTemps_c: limits too wide to be of use
    hotter_was_slower,  // swapped?
    too_far_outside,    // predict: too far beyond the tried range
};

// Basis: own_error for two strips; for more, scatter unless own_error is asked for.
[[nodiscard]] Outcome<StripLaw, StripLawWhy> strip_law(std::span<const WatchedStrip> strips,
                                                       std::optional<LimitBasis> basis = std::nullopt);

struct TimePrediction {
    double time_s = 0.0;
    double log_sd = 0.0;
    Limits limits_95 = {};
    Limits limits_80 = {};
    double outside_by_c = 0.0;  // how far beyond the tried range; 0 inside. Widened there.
};

// Time to the same tone at temp_c. Limits are those of the line (piece scatter comes on top).
[[nodiscard]] Outcome<TimePrediction, StripLawWhy> predict(const StripLaw& law, double temp_c);

}  // namespace tonebath::science
