// Dose: the seconds a piece would have needed in a fresh bath of reference strength at the reference temperature.
//
//   D = integral of  s(t) (C/C0)^m exp(-Ea/R (1/T - 1/T0)) a exp(b)  dt            T0 = 333.15 K (60 °C)
//
//   s(t)   strength left by fade: 1, exp(-r h) or max(0, 1 - r h), h = hours since make-up
//   C/C0   make-up against this lot's usual make-up, after top-ups and water lost or added
//   a, b   agitation factor; log speed of this lot and bath against the studio's usual
//
// Rate law after Arrhenius (OpenStax Chemistry 2e, section 12.5). Sources and ranges: docs/formulas/dose.md.
#pragma once

#include "science/constants.hpp"
#include "science/cooling.hpp"
#include "science/outcome.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

enum class FadeKind { none, first_order, zero_order };

// How speed depends on heat, strength and age. Defaults: the published wide priors (docs/formulas/dose.md).
struct RateLaw {
    double ea_kj_per_mol = 45.0;
    double strength_exponent = 0.8;
    FadeKind fade = FadeKind::none;
    // first_order: 1/h. zero_order: share of the fresh strength lost in an hour. At least 0; ignored for none.
    double fade_per_h = 0.0;
};

// From t_s on: log(C/C0), and how fast it moves (water lost makes it rise). Holds until the next one.
struct StrengthStep {
    double t_s = 0.0;
    double log_ratio = 0.0;
    double drift_per_h = 0.0;
};

// One bath from make-up (t = 0) on. Before the first step, and with none, log(C/C0) is 0 (the usual make-up).
struct BathCourse {
    TempCurve temp = TempCurve::constant(kReferenceTemp_c);
    std::vector<StrengthStep> strength = {};  // rising t_s
    double agitation = 1.0;                   // gentle 1; still about 0.5, brisk about 2
    double log_speed = 0.0;                   // lot and bath offset
};

// exp(-Ea/R (1/T - 1/T0)): speed at temp_c against 60 °C.
[[nodiscard]] double heat_factor(double temp_c, double ea_kj_per_mol);
// s: strength left after age_h hours, 0 to 1 (1 before make-up).
[[nodiscard]] double strength_left(double age_h, const RateLaw& law);
// When zero-order fade has used up the bath; nullopt for other laws.
[[nodiscard]] std::optional<double> spent_at_s(const RateLaw& law);
// Ea from "so many times faster when heated from cold_c to hot_c"; nullopt unless factor > 0 and hot_c > cold_c.
[[nodiscard]] std::optional<double> ea_from_factor(double factor, double cold_c, double hot_c);
// How many times faster at temp_c + 5 than at temp_c - 5.
[[nodiscard]] double factor_per_10_c(double ea_kj_per_mol, double around_c);
// log(C/C0) at t_s.
[[nodiscard]] double log_strength_ratio(const BathCourse& course, double t_s);

// Finite numbers in range, steps rising, fade not negative, agitation above zero.
[[nodiscard]] bool is_sound(const BathCourse& course, const RateLaw& law);

// Seconds of dose per second in the bath.
[[nodiscard]] double rate_at(const BathCourse& course, const RateLaw& law, double t_s);

// Dose between t0_s and t1_s. 15-point Gauss-Legendre on panels of at most 60 s, split wherever the course kinks:
// relative error below 1e-9 against a fine reference (measured, see docs/formulas/dose.md).
// nullopt: not finite, t1 before t0 (out before in), longer than 60 days, or an unsound course.
[[nodiscard]] std::optional<double> dose_s(const BathCourse& course, const RateLaw& law, double t0_s, double t1_s);

// Why a dose gets no out-time.
enum class NeverWhy {
    bad_input,        // not finite, dose not above zero, unsound course
    bath_spent,       // zero-order fade leaves nothing before the dose is full
    not_within_limit  // would take longer than limit_s
};
struct NotReached {
    NeverWhy why = NeverWhy::bad_input;
    double dose_by_then_s = 0.0;  // what the piece would have by the limit, or when the bath is spent
};
inline constexpr double kLongestDip_s = 86400.0;  // ours: a day; a plan beyond it is no plan

// The moment at which a piece dropped at t0_s has its dose. Within 1e-9 of the dose.
[[nodiscard]] Outcome<double, NotReached> out_time_s(const BathCourse& course, const RateLaw& law, double t0_s,
                                                     double wanted_dose_s, double limit_s = kLongestDip_s);
// Seconds in the bath from t0_s that give the dose of a mate: "what would have matched". out_time - t0.
[[nodiscard]] Outcome<double, NotReached> matched_seconds(const BathCourse& course, const RateLaw& law, double t0_s,
                                                          double wanted_dose_s, double limit_s = kLongestDip_s);
// The early cue: when `share` (0 to 1) of the dose is in. 0.7 is our default.
[[nodiscard]] Outcome<double, NotReached> look_now_s(const BathCourse& course, const RateLaw& law, double t0_s,
                                                     double wanted_dose_s, double share = 0.7);

// A dose typed as "so many seconds at from_temp_c, fresh" as seconds at 60 °C, fresh; and back. nullopt on bad input.
[[nodiscard]] std::optional<double> convert_dose(double seconds, double from_temp_c, const RateLaw& law);
[[nodiscard]] std::optional<double> dose_as_seconds_at(double dose_s, double at_temp_c, const RateLaw& law);
// Plain seconds for a dose in a bath held at temp_c whose speed is `strength` times fresh.
[[nodiscard]] std::optional<double> seconds_at(double dose_s, double temp_c, double strength, const RateLaw& law);

// How log dose answers to the law: what a learner needs to turn a dip into a row of a linear model.
struct DoseSensitivity {
    double dose_s = 0.0;
    double d_ea_per_kj_per_mol = 0.0;  // d log D / d Ea; above zero when hotter than 60 °C
    double d_exponent = 0.0;           // d log D / d m: mean log(C/C0) over the dose
    double d_fade_h = 0.0;             // d log D / d fade_per_h; 0 for FadeKind::none
    double log_sd_from_temp = 0.0;     // log-sd of D from sd_c, taken as one common error over the dip
};
// nullopt as dose_s, and when the dose is zero.
[[nodiscard]] std::optional<DoseSensitivity> dose_sensitivity(const BathCourse& course, const RateLaw& law, double t0_s,
                                                              double t1_s);

// The one temperature that would have given the same heat factor on average between t0_s and t1_s.
[[nodiscard]] std::optional<double> effective_temp_c(const BathCourse& course, const RateLaw& law, double t0_s,
                                                     double t1_s);

// One time in the bath. Agitation on top of the course's own.
struct DipTimes {
    double in_s = 0.0;
    double out_s = 0.0;
    double agitation = 1.0;
};
// Doses of several dips added. nullopt when any one is bad. No dips: 0.
[[nodiscard]] std::optional<double> total_dose_s(const BathCourse& course, const RateLaw& law,
                                                 std::span<const DipTimes> dips);

}  // namespace tonebath::science
