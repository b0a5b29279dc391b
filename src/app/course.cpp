#include "app/course.hpp"

#include "store/record.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <string_view>

namespace tonebath::app {

namespace {

constexpr double kAssumedRoom_c = 20.0;      // ours: an ordinary room, when none is written down
constexpr std::string_view kRoomAssumed = "room taken as 20 °C: not written down";
constexpr double kAssumedRoomSd_c = 3.0;     // and how far it may be off
constexpr double kKnownRoomSd_c = 1.0;
constexpr double kTypedConstantLogSd = 0.15; // ours: a constant that the studio typed in
constexpr double kHoldsItsHeat_per_min = 1e-5;  // ours: what a typed 0 means to a law of logarithms, 0.03 °C in an hour

// The bath's own readings, corrected, with the make-up temperature and temperatures written with its dips.
std::vector<CourseReading> readings_of(store::Log& log, const Bath& bath) {
    std::vector<CourseReading> all;
    if (bath.start_temp) {
        Reading first;  // read off the thermometer that was in use then
        first.at = bath.made_up_at;
        const double shown = bath.start_temp->celsius();
        all.push_back({0.0, shown + thermometer_correction_c(log, first), shown, false, "made up at"});
    }
    for (const Reading& reading :
         store::list<Reading>(log, "WHERE bath_id = ?1 ORDER BY at_utc_ms, id", {bath.id.text})) {
        const double shown = reading.temp.celsius();
        all.push_back({seconds_between(bath.made_up_at, reading.at), shown + thermometer_correction_c(log, reading),
                       shown, reading.reheated, "reading"});
    }
    for (const Dip& dip : store::list<Dip>(
             log, "WHERE bath_id = ?1 AND temp_c IS NOT NULL ORDER BY made_utc_ms, id", {bath.id.text})) {
        const std::optional<Stamp> when = dip.dropped_at ? dip.dropped_at : dip.at_about;
        const double t_s = when ? seconds_between(bath.made_up_at, *when) : 0.0;
        // Past work is written down dip by dip; a temperature above the one before means that it was warmed.
        all.push_back({t_s, dip.temp->celsius(), dip.temp->celsius(), true, "written with a dip"});
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const CourseReading& a, const CourseReading& b) { return a.t_s < b.t_s; });
    return all;
}

std::vector<science::Reading> for_curve(const std::vector<CourseReading>& readings) {
    std::vector<science::Reading> plain;
    for (const CourseReading& reading : readings) {
        plain.push_back({.t_s = reading.t_s, .temp_c = reading.temp_c, .jump = reading.reheated});
    }
    return plain;
}

science::Surroundings surroundings_of(const BathHistory& history) {
    return {.room_c = history.room_c, .room_sd_c = history.room_known ? kKnownRoomSd_c : kAssumedRoomSd_c, .vessel = history.cooling};
}

// Amount in the lot's unit per litre that counts as usual for this lot: C0.
std::optional<double> usual_make_up(store::Log& log, const Lot& lot) {
    if (lot.usual_per_litre) {
        return lot.usual_per_litre;
    }
    if (lot.form == LotForm::lump && lot.unit == AmountUnit::g) {
        return science::kReferenceDryLump_g_per_l;
    }
    const auto first = store::list<Bath>(
        log, "WHERE lot_id = ?1 AND amount IS NOT NULL AND water_ml IS NOT NULL ORDER BY made_up_utc_ms, id LIMIT 1",
        {lot.id.text});
    if (first.empty()) {
        return std::nullopt;
    }
    return *first.front().amount / (first.front().water->ml() / 1000.0);
}

// Strength against the usual make-up through top-ups and lost water. Between two looks at the level water leaves evenly.
std::vector<science::StrengthStep> strength_steps(store::Log& log, const Bath& bath, double usual_per_litre) {
    double amount = *bath.amount;
    double volume_l = bath.water->ml() / 1000.0;
    std::vector<science::StrengthStep> steps{{.t_s = 0.0, .log_ratio = std::log(amount / volume_l / usual_per_litre)}};
    for (const TopUp& top_up : store::list<TopUp>(log, "WHERE bath_id = ?1 ORDER BY at_utc_ms, id", {bath.id.text})) {
        const double t_s = seconds_between(bath.made_up_at, top_up.at);
        const double added_l = top_up.water_added ? top_up.water_added->ml() / 1000.0 : 0.0;
        if (top_up.volume_now) {
            const double before_adding_l = std::max(0.01 * volume_l, top_up.volume_now->ml() / 1000.0 - added_l);
            const double hours = (t_s - steps.back().t_s) / 3600.0;
            if (hours > 0.0) {
                steps.back().drift_per_h = std::log(volume_l / before_adding_l) / hours;
            }
            volume_l = before_adding_l;
        }
        volume_l += added_l;
        amount += top_up.amount.value_or(0.0);
        steps.push_back({.t_s = std::max(t_s, steps.back().t_s), .log_ratio = std::log(amount / volume_l / usual_per_litre)});
    }
    return steps;
}

}  // namespace

double thermometer_correction_c(store::Log& log, const Reading& reading) {
    std::optional<Id<Thermometer>> thermometer = reading.thermometer_id;
    if (!thermometer) {
        const auto in_use = store::list<Thermometer>(
            log, "WHERE in_use_from_utc_ms <= ?1 ORDER BY in_use_from_utc_ms DESC, id LIMIT 1", {reading.at.utc_ms});
        if (in_use.empty()) {
            return 0.0;
        }
        thermometer = in_use.front().id;
    }
    const auto checks = store::list<ThermometerCheck>(
        log, "WHERE thermometer_id = ?1 AND applies_from_utc_ms <= ?2 ORDER BY applies_from_utc_ms DESC, at_utc_ms DESC LIMIT 1",
        {thermometer->text, reading.at.utc_ms});
    return checks.empty() ? 0.0 : checks.front().truth.celsius() - checks.front().reads.celsius();
}

science::VesselConstant vessel_constant(store::Log& log, const std::optional<Vessel>& vessel,
                                        const std::optional<Id<Bath>>& without, const std::optional<Stamp>& until) {
    science::VesselConstant constant;
    if (!vessel) {
        return constant;
    }
    if (vessel->cooling_per_min) {
        return {.k_per_min = std::max(kHoldsItsHeat_per_min, *vessel->cooling_per_min), .log_sd = kTypedConstantLogSd};
    }
    if (vessel->covered) {
        constant.k_per_min = kCoveredConstant_per_min;
    }
    // Precision-weighted mean of log k over the vessel's other baths, the prior among them; what baths of one vessel
    // differ by beyond their readings' error is taken as 0.15 in log k (ours).
    constexpr double kBetweenBathsLogSd = 0.15;
    double weight = 1.0 / (constant.log_sd * constant.log_sd);
    double sum = weight * std::log(constant.k_per_min);
    for (const Bath& other : store::list<Bath>(log, "WHERE vessel_id = ?1 AND made_up_utc_ms < ?2 ORDER BY made_up_utc_ms DESC, id LIMIT 20",
                                               {vessel->id.text, until ? until->utc_ms : std::numeric_limits<std::int64_t>::max()})) {
        if (without && other.id == *without) {
            continue;
        }
        const double room_c = other.room_temp ? other.room_temp->celsius() : kAssumedRoom_c;
        const auto fit = science::fit_readings_alone(for_curve(readings_of(log, other)), room_c);
        if (!fit || fit->k_per_min <= 0.0) {
            continue;
        }
        const double w = 1.0 / (fit->log_sd * fit->log_sd + kBetweenBathsLogSd * kBetweenBathsLogSd);
        sum += w * std::log(fit->k_per_min);
        weight += w;
    }
    return {.k_per_min = std::exp(sum / weight),
            .log_sd = std::sqrt(1.0 / weight + kBetweenBathsLogSd * kBetweenBathsLogSd)};
}

bool stands_covered(const BathHistory& history) { return history.vessel && history.vessel->covered; }

double agitation_factor(Agitation agitation) {
    switch (agitation) {
        case Agitation::still:
            return 0.5;
        case Agitation::gentle:
            return 1.0;
        case Agitation::brisk:
            return 2.0;
    }
    return 1.0;
}

bool suppose_temperature(BathHistory& history, double t_s, double temp_c) {
    const std::array<science::Reading, 1> one{{{.t_s = t_s, .temp_c = temp_c}}};
    const auto curve = science::temp_curve(one, surroundings_of(history));
    if (curve) {
        history.course.temp = *curve;
        history.temp_known = true;
    }
    return curve.has_value();
}

bool move_to_room(BathHistory& history, double t_s, double room_c) {
    BathHistory moved = history;
    moved.room_c = room_c;
    moved.room_known = true;
    if (history.temp_known) {
        const science::CoolingFit& fit = history.course.temp.fit();
        moved.cooling = fit.k_per_min > 0.0 && fit.log_sd > 0.0 ? science::VesselConstant{.k_per_min = fit.k_per_min, .log_sd = fit.log_sd} : history.cooling;
        if (!suppose_temperature(moved, t_s, history.course.temp.temp_c(t_s))) {
            return false;
        }
    } else if (!std::isfinite(room_c)) {
        return false;
    }
    std::erase_if(moved.assumed, [](const std::string& one) { return one == kRoomAssumed; });
    history = std::move(moved);
    return true;
}

std::optional<science::TempCurve> curve_with(const BathHistory& history, const std::vector<CourseReading>& more) {
    std::vector<CourseReading> all = history.readings;
    all.insert(all.end(), more.begin(), more.end());
    auto curve = science::temp_curve(for_curve(all), surroundings_of(history));
    if (!curve) {
        return std::nullopt;
    }
    return std::move(curve).value();
}

science::BathCourse course_known_by(const BathHistory& history, double t_s, const std::optional<science::VesselConstant>& cooling) {
    science::BathCourse course = history.course;
    science::Surroundings around = surroundings_of(history);
    around.vessel = cooling.value_or(around.vessel);
    std::vector<CourseReading> known;
    for (const CourseReading& reading : history.readings) {
        // The first temperature stays: without any there was no plan at all.
        if (known.empty() || reading.t_s <= t_s) {
            known.push_back(reading);
        }
    }
    if (known.size() < history.readings.size() || cooling) {
        if (const auto curve = science::temp_curve(for_curve(known), around)) {
            course.temp = *curve;
        }
    }
    // Water lost since the last mark is known only by the next one: without it the strength stands.
    std::erase_if(course.strength, [&](const science::StrengthStep& step) { return step.t_s > t_s; });
    if (!course.strength.empty() && course.strength.size() < history.course.strength.size()) {
        course.strength.back().drift_per_h = 0.0;
    }
    return course;
}

std::optional<BathHistory> bath_history(store::Log& log, const Id<Bath>& bath_id, const science::VesselConstant* cooling) {
    const std::optional<Bath> bath = store::find(log, bath_id);
    if (!bath) {
        return std::nullopt;
    }
    BathHistory history;
    history.bath = *bath;
    if (bath->lot_id) {
        history.lot = store::find(log, *bath->lot_id);
    }
    if (bath->vessel_id) {
        history.vessel = store::find(log, *bath->vessel_id);
    }
    history.room_known = bath->room_temp.has_value();
    history.room_c = bath->room_temp ? bath->room_temp->celsius() : kAssumedRoom_c;
    if (!history.room_known) {
        history.assumed.emplace_back(kRoomAssumed);
    }

    history.readings = readings_of(log, *bath);
    history.cooling = cooling != nullptr ? *cooling : vessel_constant(log, history.vessel, bath->id);
    const auto curve = science::temp_curve(for_curve(history.readings), surroundings_of(history));
    history.temp_known = curve.has_value();
    if (curve) {
        history.course.temp = *curve;
    } else if (!history.readings.empty()) {
        history.assumed.push_back("a temperature of this bath cannot be right: correct it");
    }

    if (history.lot) {
        history.usual_per_litre = usual_make_up(log, *history.lot);
    }
    if (bath->amount && bath->water && *bath->amount > 0.0 && bath->water->ml() > 0.0) {
        history.made_per_litre = *bath->amount / (bath->water->ml() / 1000.0);
    }
    history.strength_known = history.usual_per_litre && history.made_per_litre;
    if (history.strength_known) {
        history.course.strength = strength_steps(log, *bath, *history.usual_per_litre);
    } else {
        history.assumed.push_back("strength taken as usual: make-up or the lot's usual strength is not known");
    }
    if (bath->agitation) {
        history.course.agitation = agitation_factor(*bath->agitation);
    }
    return history;
}

std::optional<science::DipTimes> dip_times(const BathHistory& history, const Dip& dip) {
    const std::optional<Stamp> start = dip.dropped_at ? dip.dropped_at : dip.at_about;
    const double in_s = start ? history.t_of(*start) : 0.0;
    std::optional<double> length_s;
    if (dip.in_bath) {
        length_s = dip.in_bath->seconds();
    } else if (dip.dropped_at && dip.out_at) {
        length_s = seconds_between(*dip.dropped_at, *dip.out_at);
    }
    if (!length_s || *length_s < 0.0) {
        return std::nullopt;
    }
    const double bath_factor = history.course.agitation;
    const double factor = dip.agitation ? agitation_factor(*dip.agitation) / bath_factor : 1.0;
    return science::DipTimes{.in_s = in_s, .out_s = in_s + *length_s, .agitation = factor};
}

std::optional<double> dose_of(const BathHistory& history, const Dip& dip, const science::RateLaw& law) {
    if (!history.temp_known) {
        return std::nullopt;
    }
    const auto times = dip_times(history, dip);
    if (!times) {
        return std::nullopt;
    }
    return science::total_dose_s(history.course, law, std::vector{*times});
}

}  // namespace tonebath::app
