#include "app/explain.hpp"
#include "app/explain_records.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "science/drift_watch.hpp"
#include "science/normal.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

enum Kind : std::size_t { kThermometer, kWater, kAdditive, kKinds };

// Numbers for levels as they come.
std::size_t level_of(std::map<std::string, std::size_t>& levels, const std::string& name) {
    return levels.emplace(name, levels.size()).first->second;
}

class Watch {
public:
    Watch(Studio& studio, const Learned& learned) : log_(studio.log()), learned_(learned), book_(explain_book(studio, learned)) {}

    Drift look(Drift out) {
        read_speeds();
        const auto report = science::watch_drift(speeds_);
        if (!report) {
            out.words = fmt::format("{} of the {} baths needed have a judged strip or piece: too few to tell of drift.",
                                    speeds_.size(), science::kFewestBaths);
            return out;
        }
        out.trial = report->trial;
        out.lower = std::exp(report->lower - report->centre);
        out.upper = std::exp(report->upper - report->centre);
        for (std::size_t i = 0; i < speeds_.size(); ++i) {
            const LearnedBath& bath = learned_.baths[place_[i]];
            const double off = speeds_[i].log_speed - report->centre;
            out.points.push_back({.bath = bath.history.bath.number, .lot = bath.lot_number, .at = bath.history.bath.made_up_at,
                                  .speed = std::exp(off), .low = std::exp(off - science::kEightyOfHundred * speeds_[i].sd),
                                  .high = std::exp(off + science::kEightyOfHundred * speeds_[i].sd),
                                  .outside = std::ranges::find(report->outside, i) != report->outside.end()});
        }
        for (const science::FoundShift& shift : science::find_shifts(speeds_)) {
            out.shifts.push_back(told(shift, out));
        }
        out.words = out.shifts.empty() ? "No shift that chance would not make."
                                       : out.shifts.front().words;
        return out;
    }

private:
    // Log speed of a bath: where the records' tones stand against the dose that make-up, age and heat should have given.
    void read_speeds() {
        const auto paces = bath_paces(book_, learned_);
        std::map<std::string, std::size_t> lots;
        std::vector<std::map<std::string, std::size_t>> levels(kKinds);
        std::vector<std::size_t> order(paces.size());
        for (std::size_t i = 0; i < order.size(); ++i) {
            order[i] = i;
        }
        std::ranges::stable_sort(order, {}, [&](std::size_t i) { return learned_.baths[i].history.bath.made_up_at.utc_ms; });
        for (const std::size_t i : order) {
            if (!paces[i]) {
                continue;
            }
            const LearnedBath& bath = learned_.baths[i];
            science::BathSpeed speed{.day = static_cast<double>(bath.history.bath.made_up_at.utc_ms) / 86400000.0,
                                     .log_speed = paces[i]->log_speed, .sd = paces[i]->sd, .lot = level_of(lots, bath.lot_number)};
            speed.other.resize(kKinds);
            speed.other[kThermometer] = level_of(levels[kThermometer], thermometer_of(bath));
            speed.other[kWater] = level_of(levels[kWater], bath.history.bath.water_source);
            speed.other[kAdditive] = level_of(levels[kAdditive], bath.history.bath.additives);
            speeds_.push_back(std::move(speed));
            place_.push_back(i);
        }
    }

    // The thermometer its readings were made with, and what was known of it then: a check entered is a new level.
    std::string thermometer_of(const LearnedBath& bath) {
        const auto readings = store::list<Reading>(log_, "WHERE bath_id = ?1 ORDER BY at_utc_ms, id LIMIT 1",
                                                   {bath.history.bath.id.text});
        if (readings.empty()) {
            return {};
        }
        return (readings.front().thermometer_id ? readings.front().thermometer_id->text : std::string("?")) +
               fmt::format(" {:.1f}", thermometer_correction_c(log_, readings.front()));
    }

    DriftShift told(const science::FoundShift& shift, const Drift& drift) const {
        DriftShift out;
        const DriftPoint& first = drift.points[shift.first];
        out.from_bath = first.bath;
        out.from = first.at;
        out.to_bath = shift.end < speeds_.size() ? drift.points[shift.end - 1].bath : std::string();
        out.slow = shift.slide;
        out.ratio = std::exp(shift.size);
        out.ratio_low = std::exp(shift.size - science::kEightyOfHundred * shift.size_se);
        out.ratio_high = std::exp(shift.size + science::kEightyOfHundred * shift.size_se);
        out.half_life_days = shift.half_life_days;
        const auto changed = [&](Kind kind) {
            return std::ranges::find(shift.changed_then, static_cast<std::size_t>(kind)) != shift.changed_then.end();
        };
        const std::string size = fmt::format("{} % {} ({} to {} %)", fixed_text(100.0 * std::abs(1.0 - out.ratio), 0),
                                             shift.size < 0.0 ? "slower" : "faster",
                                             fixed_text(100.0 * std::abs(1.0 - (shift.size < 0.0 ? out.ratio_high : out.ratio_low)), 0),
                                             fixed_text(100.0 * std::abs(1.0 - (shift.size < 0.0 ? out.ratio_low : out.ratio_high)), 0));
        const std::string when = fmt::format("from bath {} ({}){}", out.from_bath, date_text(out.from),
                                             out.to_bath.empty() ? "" : " to bath " + out.to_bath);
        if (shift.points_at == science::PointsAt::one_lot) {
            out.cause = DriftCause::lot;
            out.lot = first.lot;
            out.words = fmt::format("{} {} {}{}; the other lots did not. It points at the lot.", out.lot,
                                    out.slow ? "grew slowly" : "stood", out.slow ? "to " + size : size, " " + when);
            if (out.half_life_days) {
                out.words += fmt::format(" Half of its strength is gone in about {} weeks.", fixed_text(*out.half_life_days / 7.0, 1));
            }
        } else if (shift.points_at == science::PointsAt::something_shared) {
            out.cause = changed(kThermometer) ? DriftCause::thermometer
                        : changed(kWater)     ? DriftCause::water
                        : changed(kAdditive)  ? DriftCause::additive
                                              : DriftCause::shared;
            const std::string_view at = out.cause == DriftCause::thermometer
                                            ? "the thermometer changed with it. Check it in ice, and date the check from that day."
                                        : out.cause == DriftCause::water    ? "the water changed with it."
                                        : out.cause == DriftCause::additive ? "what was added to the bath changed with it."
                                        : out.slow ? "slowly and together: look at season, room and water."
                                                   : "together: look at thermometer and water; nothing written down changed then.";
            out.words = fmt::format("All lots {} {}: {}", size, when, at);
        } else {
            out.words = fmt::format("{} {}: only one lot was in use on both sides, so lot and all else cannot be told apart.", size, when);
        }
        return out;
    }

    store::Log& log_;
    const Learned& learned_;
    ExplainBook book_;
    std::vector<science::BathSpeed> speeds_;
    std::vector<std::size_t> place_;  // of learned_.baths, by speed
};

}  // namespace

Drift drift(Studio& studio, const Learned& learned) {
    Drift out;
    out.metals = metal_doubts(studio, learned);
    return Watch(studio, learned).look(std::move(out));
}

}  // namespace tonebath::app
