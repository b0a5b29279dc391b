// Planning with a ToneFit: when to take the piece out, how sure, where it may land, and what one more strip would be worth.
#pragma once

#include "science/tone_model.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// What is to be dipped, where and from when.
struct PlanQuery {
    std::size_t scale = 0;
    // Aim on the scale: 2 where tone 2 begins, 2.5 the middle of tone 2. Beyond the last threshold it goes on at the
    // spacing of the last two.
    double aim = 0.0;
    // Today's bath, with its course as now predicted; a bath of the fit (its offset known as far as its records tell), or
    // a new one of a known lot, or of a lot never used.
    const BathCourse* course = nullptr;
    std::optional<std::size_t> bath = std::nullopt;
    std::optional<std::size_t> lot = std::nullopt;
    FadePlace place = FadePlace::open_hot;
    Agitation agitation = Agitation::gentle;
    std::vector<std::size_t> factors = {};
    double untried_log_sd = 0.0;  // of what holds for it and no record knows (a surface never dipped before), on log dose
    double start_s = 0.0;         // since make-up
};

// Share of the variance of log time by cause; may be negative where two beliefs cancel. They add up to 1.
struct RangeCauses {
    double where_tone_begins = 0.0;
    double this_bath = 0.0;
    double lot = 0.0;
    double temperature_effect = 0.0;
    double strength_effect = 0.0;
    double agitation = 0.0;
    double factors = 0.0;
    double fade = 0.0;
    double beyond_tried = 0.0;
};

// How far outside the records this plan is; 0 inside. Widened there for temperature.
struct BeyondTried {
    bool nothing_tried = false;
    double temp_c = 0.0;
    double log_strength = 0.0;
    double age_h = 0.0;
    [[nodiscard]] bool any() const { return nothing_tried || temp_c > 0.0 || log_strength > 0.0 || age_h > 0.0; }
};

// Seconds in the bath from start_s.
struct TimeRange {
    double low_s = 0.0;   // 10 of 100
    double middle_s = 0.0;
    double high_s = 0.0;  // 90 of 100
    // Wider side of the range over the middle: 0.15 for 15 %.
    [[nodiscard]] double half_width() const;
};

struct PiecePlaces {
    std::vector<double> reached;  // chance that the piece has reached tone j, pulled at the middle time
    std::optional<std::size_t> lightest;  // tone it lands on at worst in 10 of 100; nullopt: lighter than tone 0
    std::optional<std::size_t> darkest;   // and in 10 of 100 on the other side
};

struct TonePlan {
    TimeRange aim;              // when the median piece of this bath is there: aim for it
    PiecePlaces piece;          // piece scatter on top, at aim.middle_s
    double chance_over = 0.0;   // at aim.middle_s the piece has reached the tone after the one aimed at
    double chance_light = 0.0;  // it has not reached the tone aimed at
    double look_now_s = 0.0;    // one piece in ten is at the aim by then
    double log_sd = 0.0;        // of log time
    RangeCauses causes;
    BeyondTried beyond;
    bool open_end = false;      // some of the range lies beyond the longest time considered (6 h)
};

enum class PlanWhy {
    bad_input,    // no course, start not finite, scale, bath, lot or factor that the fit does not have
    no_fit,       // the fit did not come to an end
    out_of_reach  // the middle lies beyond the longest time considered, or below 0.05 s
};

[[nodiscard]] Outcome<TonePlan, PlanWhy> plan_tone(const ToneFit& fit, const PlanQuery& query);

// Chance that a piece pulled `seconds` after start_s has reached each tone. Empty on bad input.
[[nodiscard]] std::vector<double> chances_at(const ToneFit& fit, const PlanQuery& query, double seconds);

// The same after several dips, each in its course; query tells bath, lot and factors, and a course for what was tried.
[[nodiscard]] std::vector<double> chances_after(const ToneFit& fit, const PlanQuery& query, std::span<const DosePiece> dips);

// One more strip in this bath, before the piece: what it would do to the range.
struct StripOffer {
    double time_s = 0.0;
    double log_sd_after = 0.0;  // expected
};
struct StripWorth {
    double log_sd_now = 0.0;
    StripOffer watched;               // pulled as it reaches the aim
    StripOffer best_judged;           // pulled at a fixed time and judged
    std::vector<StripOffer> judged;   // over the range of sensible times
    // Watched strips until the wider side is within 15 %; nullopt: more than kMostStrips would not do it either.
    std::optional<int> watched_to_15_percent;
    std::optional<int> judged_to_15_percent;
    double log_sd_floor = 0.0;  // what any number of strips in this bath leaves
};
inline constexpr int kMostStrips = 8;  // ours: nobody dips more for one batch
[[nodiscard]] Outcome<StripWorth, PlanWhy> strip_worth(const ToneFit& fit, const PlanQuery& query);

}  // namespace tonebath::science
