// Drift over weeks: the speed of bath after bath, against limits from the first ones, and what a shift points at.
//
// One value a bath: log speed against what its make-up, age and temperature should give, corrected for nothing else.
// A shift is a step at one bath, or a slide from it on; found by least squares over all places where it may begin, weighted
// by each value's error, and believed when it gains more than chance does over all those places. What it points at follows
// from who shares it, never from the calendar alone.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

struct BathSpeed {
    double day = 0.0;       // any origin, rising
    double log_speed = 0.0;
    double sd = 0.0;        // of log_speed, above 0, bath-to-bath scatter not included
    std::size_t lot = 0;
    // What else may have changed: probe, water, vessel, additive ... one level for each kind, the same kinds for all.
    std::vector<std::size_t> other;
};

enum class ShiftShape { step, slide };

struct SpeedShift {
    ShiftShape shape = ShiftShape::step;
    std::size_t first = 0;   // place (in the list given) of the first bath after it
    double day = 0.0;
    double size = 0.0;       // log speed: of the step, or of the slide up to the last bath
    double size_se = 0.0;
    double score = 0.0;      // gain in squared error over its own scale; believed above kShiftScore
    std::optional<double> half_life_days;  // of a falling slide
};
inline constexpr double kShiftScore = 13.0;   // ours: see drift_watch_test for the false alarms it lets through
inline constexpr std::size_t kLimitBaths = 20;
inline constexpr std::size_t kFewestBaths = 8;  // fewer tell nothing

enum class PointsAt { nothing, one_lot, something_shared, cannot_tell };

struct DriftReport {
    // Limits from the first 20 baths (or all, then `trial`): mean -+ 3 sd from the moving range.
    double centre = 0.0;
    double lower = 0.0;
    double upper = 0.0;
    bool trial = false;
    std::vector<std::size_t> outside;
    // Shift of all baths together, after taking out each lot's own level.
    std::optional<SpeedShift> shared;
    // Shifts of single lots that the others do not share.
    struct LotShift {
        std::size_t lot = 0;
        SpeedShift shift;
    };
    std::vector<LotShift> lots;
    PointsAt points_at = PointsAt::nothing;
    // For something_shared: kinds of `other` whose level changed for every lot right at the shift (places in `other`).
    std::vector<std::size_t> changed_then;
};
// nullopt: fewer than kFewestBaths, days falling, a value not finite or an error not above zero, or lists of unequal length.
[[nodiscard]] std::optional<DriftReport> watch_drift(std::span<const BathSpeed> baths);

// Several shifts in one log, found one after the other: the likeliest of all lots and each lot alone is taken, then each is
// looked for again beside the others, until what is left gains less than kNextShiftScore. None is smaller than kLeastShift.
// Besides steps and slides there is the spell: a step that ends again (a thermometer that was checked later). A shift of
// all lots in just the baths of a recorded change needs less gain: few such are tried.
struct FoundShift {
    PointsAt points_at = PointsAt::nothing;
    std::size_t lot = 0;             // for one_lot
    bool slide = false;
    std::size_t first = 0;           // place of the first bath in it
    std::size_t end = 0;             // place after its last bath; the number of baths when it goes on
    double size = 0.0;               // log speed: of the step, or of the slide up to its last bath (of its lot)
    double size_se = 0.0;
    double score = 0.0;
    std::optional<double> half_life_days;
    std::vector<std::size_t> changed_then;  // kinds of `other` that had a level of their own for just these baths
};
inline constexpr double kNextShiftScore = 20.0;  // ours: many more shapes are tried here than by watch_drift
inline constexpr double kLeastShift = 0.10;      // ours: a tenth in speed is within a bath's own luck
[[nodiscard]] std::vector<FoundShift> find_shifts(std::span<const BathSpeed> baths);
// The part of one shift at a bath, 0 where it is not in it.
[[nodiscard]] double shift_at(std::span<const BathSpeed> baths, const FoundShift& shift, std::size_t bath);

}  // namespace tonebath::science
