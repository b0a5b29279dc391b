// How warm the bath was, is and will be: Newton cooling fitted to this vessel, this room and the readings.
//
//   T(t) = room + (T_start - room) exp(-k (t - t_start))        k in 1/min, t in seconds since make-up
//
// Newton's law of cooling as in OpenStax Calculus, volume 1, section 6.8. A room hotter than the bath warms it by the
// same law. Prior for k: 0.025 /min, log-sd 0.4, from a heat balance of a 250 mL open vessel
// (docs/formulas/cooling.md).
#pragma once

#include "science/outcome.hpp"

#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// One look at the thermometer.
struct Reading {
    double t_s = 0.0;     // seconds since make-up, may be negative
    double temp_c = 0.0;  // -5 to 105 °C
    bool jump = false;    // the bath was reheated, or topped up hot or cold, since the reading before
    // When that happened, where it was logged. Unknown, or not between the two readings: the curve steps at this
    // reading, and says so by a wide sd_c before it.
    std::optional<double> jump_at_s = std::nullopt;
};

// What is known of a vessel before any reading: k is log-normal about k_per_min.
struct VesselConstant {
    double k_per_min = 0.025;
    double log_sd = 0.4;
};

struct Surroundings {
    double room_c = 20.0;       // -30 to 60 °C
    double room_sd_c = 1.0;     // how far off the room may be; widens the range of k and sd_c (our choice)
    double reading_sd_c = 0.3;  // own error of one reading, > 0
    VesselConstant vessel = {};
};

// k as the readings (and the prior, where one is used) give it.
struct CoolingFit {
    double k_per_min = 0.0;
    double log_sd = 0.0;       // of k, from the curvature of the fit
    double low_per_min = 0.0;  // 95 of 100: k exp(-1.96 log_sd)
    double high_per_min = 0.0;
    std::size_t readings = 0;    // that tell something on k (a segment of one reading tells nothing)
    double residual_sd_c = 0.0;  // root mean square of reading minus fitted line
};

// A stretch without reheat or top-up.
struct CoolingSegment {
    double start_s = 0.0;
    double end_s = 0.0;  // the next one's start; infinity for the last
    std::size_t readings = 0;
    double first_temp_c = 0.0;
};

enum class CoolingWhy {
    no_readings,
    not_a_number,       // a time, temperature, room, error or prior is not finite, or an error or k not above zero
    not_water,          // a reading outside -5 to 105 °C
    room_out_of_range,  // outside -30 to 60 °C
    too_few_readings,   // fit of readings alone: fewer than two readings in every segment
    no_difference,      // fit of readings alone: the bath stands at room temperature, nothing to cool
    not_cooling,        // fit of readings alone: the readings move away from the room's temperature
};

// The course of the temperature, as a value. Passes exactly through every reading (Newton-shaped between two), goes on
// after the last and before the first with the fitted k, and is held within 0 to 100 °C when carried backward.
class TempCurve {
public:
    // The bath held at one temperature.
    [[nodiscard]] static TempCurve constant(double temp_c);
    // Known start (at t = 0), room and constant.
    [[nodiscard]] static TempCurve newton(double start_c, double room_c, double k_per_min);

    // Any finite t_s. At a step (reheat) the later side counts.
    [[nodiscard]] double temp_c(double t_s) const;
    // One standard deviation. Never falls as time runs on after the last reading. Zero for constant() and newton().
    [[nodiscard]] double sd_c(double t_s) const;
    // Expected k with its range.
    [[nodiscard]] const CoolingFit& fit() const { return fit_; }
    [[nodiscard]] const std::vector<CoolingSegment>& segments() const { return segments_; }
    // Times where the curve kinks or steps, rising. An integral must be split there.
    [[nodiscard]] const std::vector<double>& breaks_s() const { return breaks_s_; }
    // Time of the last reading; nullopt for constant() and newton().
    [[nodiscard]] std::optional<double> last_reading_s() const { return last_reading_s_; }

private:
    friend class TempCurveMaker;  // cooling.cpp: builds the arcs

    // T(t) = base + excess exp(-k (t - origin)) + ramp (t - origin), for t >= from.
    struct Arc {
        double from_s = -std::numeric_limits<double>::infinity();
        double origin_s = 0.0;
        double base_c = 0.0;
        double excess_c = 0.0;
        double k_per_s = 0.0;
        double ramp_c_per_s = 0.0;
        double least_c = -std::numeric_limits<double>::infinity();  // carried backward: held within water's range
        double most_c = std::numeric_limits<double>::infinity();
        // For sd_c: the readings to the left and right that hold this arc, and the unexplained step at its end.
        std::optional<double> left_s;
        std::optional<double> right_s;
        double left_excess_c = 0.0;
        double right_excess_c = 0.0;
        double step_c = 0.0;
        double step_from_s = 0.0;
        double step_to_s = 0.0;
    };

    [[nodiscard]] const Arc& arc_at(double t_s) const;

    std::vector<Arc> arcs_;
    std::vector<double> breaks_s_;
    std::vector<CoolingSegment> segments_;
    CoolingFit fit_;
    std::optional<double> last_reading_s_;
    double reading_sd_c_ = 0.0;
    double room_sd_c_ = 0.0;
};

// The curve of one bath: k by least squares shrunk to the prior (one k for all segments, one start for each). Readings
// may come in any order; two at the same time without a jump are averaged.
[[nodiscard]] Outcome<TempCurve, CoolingWhy> temp_curve(std::span<const Reading> readings, const Surroundings& around);

// k from her readings alone: unweighted least squares on °C, no prior. log_sd from reading_sd_c, the room taken as
// exact. 60.0, 55.6, 51.7 °C at 0, 4, 8 min in a 19 °C room give 0.0283 /min.
[[nodiscard]] Outcome<CoolingFit, CoolingWhy> fit_readings_alone(std::span<const Reading> readings, double room_c,
                                                                 double reading_sd_c = 0.3);

// Minutes until a bath at from_c is at to_c; nullopt when it never gets there in that room (or on bad input).
[[nodiscard]] std::optional<double> minutes_to_reach(double from_c, double to_c, double room_c, double k_per_min);
// k from two temperatures `minutes` apart; nullopt when the bath did not move towards the room (or on bad input).
[[nodiscard]] std::optional<double> k_from_two(double from_c, double to_c, double room_c, double minutes);

}  // namespace tonebath::science
