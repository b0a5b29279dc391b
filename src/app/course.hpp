// The course of a bath as the log has it: temperature, strength, who stood by. t = 0 at make-up.
#pragma once

#include "base/clock.hpp"
#include "model/bath.hpp"
#include "model/dip.hpp"
#include "science/dose.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::store {
class Log;
}

namespace tonebath::app {

// A temperature that the curve rests on.
struct CourseReading {
    double t_s = 0.0;        // since make-up
    double temp_c = 0.0;     // corrected for the thermometer
    double shown_c = 0.0;    // as it was read
    bool reheated = false;
    std::string source;      // "made up at", "reading", "written with strip 12"
};

struct BathHistory {
    Bath bath;
    std::optional<Lot> lot;
    std::optional<Vessel> vessel;
    science::BathCourse course;               // agitation of the bath; log_speed 0: lots and baths are the learner's
    std::vector<CourseReading> readings;      // in time
    science::VesselConstant cooling;          // that the curve began from
    double room_c = 20.0;
    bool room_known = false;
    bool temp_known = false;                  // at least one temperature is written down
    bool strength_known = false;              // amount, water and the lot's usual make-up are known
    std::optional<double> usual_per_litre;    // C0 of this lot
    std::optional<double> made_per_litre;     // of this bath at make-up
    std::vector<std::string> assumed;         // in words: "room taken as 20 °C: not written down"

    // Seconds since make-up of a moment, and back.
    [[nodiscard]] double t_of(const Stamp& at) const { return seconds_between(bath.made_up_at, at); }
    [[nodiscard]] Stamp stamp_at(double t_s) const { return plus_seconds(bath.made_up_at, t_s); }
};

// Reads bath, lot, vessel, thermometer checks, readings, top-ups and temperatures written with dips.
// nullopt when there is no such bath. `cooling`: the vessel's constant where the caller knows it; read from the log without.
[[nodiscard]] std::optional<BathHistory> bath_history(store::Log& log, const Id<Bath>& bath,
                                                      const science::VesselConstant* cooling = nullptr);

// The bath as if it were read at temp_c at t_s and left alone from there: the curve before and after is of that reading
// alone. False, and nothing is changed, when water is never at that temperature.
[[nodiscard]] bool suppose_temperature(BathHistory& history, double t_s, double temp_c);
// From t_s on the room stands at room_c, and the bath cools in it at the constant that its readings gave. False, and
// nothing is changed, when no room is at that temperature. Where no temperature of the bath is known, only the room changes.
[[nodiscard]] bool move_to_room(BathHistory& history, double t_s, double room_c);
// The bath's temperature with further readings on top of its own (a reheat that is planned). nullopt without any reading.
[[nodiscard]] std::optional<science::TempCurve> curve_with(const BathHistory& history, const std::vector<CourseReading>& more);
// The course as it could be foretold at t_s since make-up: later readings, top-ups and level marks left out. `cooling`: the
// vessel's constant as it was known then, where the caller knows it; the history's own without.
[[nodiscard]] science::BathCourse course_known_by(const BathHistory& history, double t_s, const std::optional<science::VesselConstant>& cooling = std::nullopt);

// The vessel's cooling constant as typed, else from readings of its other baths (at most the last 20, and of baths made up
// before `until` alone), else the prior.
[[nodiscard]] science::VesselConstant vessel_constant(store::Log& log, const std::optional<Vessel>& vessel,
                                                      const std::optional<Id<Bath>>& without = std::nullopt,
                                                      const std::optional<Stamp>& until = std::nullopt);

// What the thermometer in use at that moment must be corrected by (true minus read); 0 when no check is on record.
[[nodiscard]] double thermometer_correction_c(store::Log& log, const Reading& reading);

// Heat balance of 250 ml with a lid (docs/formulas/cooling.md).
inline constexpr double kCoveredConstant_per_min = 0.012;
// Under a lid: it fades as covered baths do.
[[nodiscard]] bool stands_covered(const BathHistory& history);

// Agitation as a factor on dose: still 0.5, gentle 1, brisk 2 (weak prior, docs/formulas/dose.md).
[[nodiscard]] double agitation_factor(Agitation agitation);

// In and out of a dip in seconds since make-up; nullopt while it runs, and for past work that gives no length.
// Past work with only a length is put at `at_about`, else at make-up.
[[nodiscard]] std::optional<science::DipTimes> dip_times(const BathHistory& history, const Dip& dip);

// Dose of one dip, s at 60 °C fresh of this lot, by `law`. nullopt as dip_times, or when the temperature is not known.
[[nodiscard]] std::optional<double> dose_of(const BathHistory& history, const Dip& dip, const science::RateLaw& law);

}  // namespace tonebath::app
