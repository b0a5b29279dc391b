// The one model behind every time and range: where each tone begins on log dose, learned from strips and pieces.
//
//   log dose + lot + bath + logged factors + piece scatter  >=  theta[scale][tone]      the tone is reached
//   log dose = log of the sum over dips of  integral (C/C0)^m exp(-Ea/R (1/T - 1/T0)) a s(age) dt
//
// Ea, m, agitation, lots, factors and thresholds are the coefficients of a mixed regression (mixed_regression.hpp), baths
// its groups; the fade rates are outer unknowns. The dose depends on Ea, m and agitation, so it is linearised about the
// current belief and refitted to a fixed point. docs/formulas/tone_model.md; tests/science/tone_model_test.cpp.
#pragma once

#include "science/dose.hpp"
#include "science/mixed_regression.hpp"
#include "science/tone_priors.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

namespace tonebath::science {

enum class Agitation { still, gentle, brisk };
// Which fade rate a bath follows.
enum class FadePlace { open_hot, covered };

struct ToneBath {
    BathCourse course;  // agitation 1 and log_speed 0: both are learned or given per dip
    std::size_t lot = 0;
    FadePlace place = FadePlace::open_hot;
    std::vector<std::size_t> factors = {};  // levels that hold for all that is dipped in it: water, additives, thermometer
};

// One dip of a subject, seconds since its bath's make-up.
struct ToneDip {
    std::size_t bath = 0;
    double in_s = 0.0;
    double out_s = 0.0;
    Agitation agitation = Agitation::gentle;
};

enum class ToneSays {
    watched,       // pulled just as it reached `tone`
    judged,        // judged afterwards as `tone`
    lighter_than,  // has not reached `tone`
    gone_over,     // beyond `tone`: has reached the next one (for the last tone: has reached it)
    at_ceiling,    // has reached the last tone; more time adds nothing
    place,         // at `place` on the scale (2.4: four tenths of the way from tone 2 to tone 3), error place_sd in tones
};

// A strip, a piece or a part of one, with what was seen after its last dip.
struct ToneSubject {
    std::size_t scale = 0;
    std::vector<ToneDip> dips;
    std::vector<std::size_t> factors;  // levels of logged factors that hold for it
    ToneSays says = ToneSays::judged;
    std::size_t tone = 0;
    double place = 0.0;
    double place_sd = 0.0;
    // For `judged`: after the first so many dips it was still lighter than `tone` (looked at between dips).
    std::optional<std::size_t> lighter_after = std::nullopt;
};

struct ToneInput {
    std::vector<ScalePrior> scales;
    std::size_t lots = 0;
    std::vector<ToneBath> baths;
    std::vector<double> factor_sd;  // prior sd of each factor level, on log dose; its mean is 0
    std::vector<ToneSubject> subjects;
};

// Where each kind of coefficient stands in the regression.
struct ToneLayout {
    std::size_t ea = 0;
    std::size_t exponent = 1;
    std::size_t still = 2;
    std::size_t brisk = 3;
    std::size_t first_lot = 4;
    std::size_t first_factor = 4;
    std::vector<std::size_t> first_theta;  // per scale
    std::vector<std::size_t> tones;        // per scale
    std::size_t coefs = 0;
    // Which outer unknown is the fade rate of a FadePlace; none where no record tells of it (its prior stands).
    std::array<std::optional<std::size_t>, 2> fade_unknown;
};

// The point about which the dose is linearised.
struct DoseCentre {
    double ea_kj_per_mol = 45.0;
    double exponent = 0.8;
    double log_still = 0.0;
    double log_brisk = 0.0;
    std::array<double, 2> fade_per_h = {0.0, 0.0};  // by FadePlace
};

// Log dose of one subject, linear in Ea, m and agitation about a centre, by mean age in fade.
struct LinearDose {
    double log_dose = 0.0;  // at the centre, fade included
    double d_ea = 0.0;
    double d_exponent = 0.0;
    double d_still = 0.0;
    double d_brisk = 0.0;
    std::array<double, 2> age_h = {0.0, 0.0};  // by FadePlace: age that moves the dose as the rate moves
    std::array<double, 2> share = {0.0, 0.0};  // of the dose, by FadePlace
    std::size_t main_bath = 0;                 // bath of the greatest share
};

// What the records cover: outside it every figure is an extrapolation.
struct TriedRange {
    std::size_t records = 0;
    double coolest_c = 0.0;
    double hottest_c = 0.0;
    double weakest_log = 0.0;  // log(C/C0)
    double strongest_log = 0.0;
    double oldest_h = 0.0;
};

// How pieces scatter: normal, or Student's t with 4 degrees of freedom where a few stand far off. The records decide.
enum class ScatterShape { normal, long_tailed };
inline constexpr double kTailFreedom = 4.0;          // as the reference cases have it
inline constexpr std::size_t kRecordsForTails = 30;  // ours: fewer cannot tell the shapes apart

struct ToneFit {
    bool converged = false;
    int rounds = 0;            // of the dose fixed point
    FadeKind fade = FadeKind::first_order;
    double log_evidence_first_order = 0.0;
    double log_evidence_zero_order = 0.0;
    ScatterShape shape = ScatterShape::normal;
    // Of the two shapes under the law of fade taken; the same where the shapes were not compared.
    double log_evidence_normal = 0.0;
    double log_evidence_long_tailed = 0.0;
    MixedFit mixed;
    ToneLayout layout;
    DoseCentre centre;
    TonePriors priors;
    TriedRange tried;
    std::vector<bool> left_out;  // subjects without a usable dose (no dips, a dip without time, unsound course)
    std::size_t lots = 0;
    std::vector<std::vector<std::size_t>> bath_factors;  // of each bath: a plan in it counts them in
};

// Start for a refit after a record was added at the end (same scales, lots, baths, factors otherwise).
struct ToneStart {
    WarmStart warm;
    DoseCentre centre;
    FadeKind fade = FadeKind::first_order;
    ScatterShape shape = ScatterShape::normal;
};
[[nodiscard]] ToneStart start_from(const ToneFit& fit);
// Which fade rates a fit of this input would have as unknowns (ToneLayout::fade_unknown): they must be the same for a start.
[[nodiscard]] std::array<std::optional<std::size_t>, 2> fade_unknowns(const ToneInput& input);

// Fits. With no subjects it is the prior. Indices out of range are faults of the caller. Without a start both laws of fade
// are fitted; zero order is taken when its evidence is more than a factor e better; long tails likewise from 30 judged
// records on, when their evidence is 20 times better. From a start law and shape are kept.
[[nodiscard]] ToneFit fit_tones(const ToneInput& input, const TonePriors& priors = {}, const ToneStart* start = nullptr);

// log s(age) of a law of fade; zero order is floored at 2 % of the fresh strength (ours), so that one record of a dead
// bath cannot break the fit.
[[nodiscard]] double log_fade(FadeKind kind, double rate_per_h, double age_h);
// Several dips (or stretches of one) in courses of their own, added on dose. nullopt when no dose comes of it.
struct DosePiece {
    const BathCourse* course = nullptr;
    std::size_t bath = 0;
    FadePlace place = FadePlace::open_hot;
    double in_s = 0.0;
    double out_s = 0.0;
    Agitation agitation = Agitation::gentle;
};
[[nodiscard]] std::optional<LinearDose> linear_dose(std::span<const DosePiece> pieces, const DoseCentre& centre,
                                                    FadeKind fade);

// The same, for a dip that is asked again and again under other laws: the course is read once, at the points of a 4-point
// Gauss-Legendre rule on panels of at most 120 s split at every kink of the course. Relative error of the dose against
// dose_s below 1e-7 (tests/science/tone_model_test.cpp).
struct DosePoint {
    double x_ea = 0.0;  // -(1000/R) (1/T - 1/T0): d log rate / d Ea, per kJ/mol
    double log_strength = 0.0;
    double age_h = 0.0;
    double weight_s = 0.0;
};
struct ReadDip {
    std::vector<DosePoint> points;
    std::size_t bath = 0;
    FadePlace place = FadePlace::open_hot;
    Agitation agitation = Agitation::gentle;
};
// nullopt: times not finite, no time in the bath, longer than 60 days, or a course that gives no finite figures.
[[nodiscard]] std::optional<ReadDip> read_dip(const DosePiece& piece);
[[nodiscard]] std::optional<LinearDose> linear_dose(std::span<const ReadDip> dips, const DoseCentre& centre, FadeKind fade);

// Temperature at which a bath would have the heat factor that belongs to d_ea.
[[nodiscard]] double effective_temp_of(double d_ea);

}  // namespace tonebath::science
