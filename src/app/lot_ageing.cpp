#include "app/lot_ageing.hpp"

#include "app/explain.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/fade.hpp"
#include "science/normal.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kHoursPerWeek = 168.0;
constexpr double kFarthest_h = 20.0 * 365.25 * 24.0;  // ours: no jar is planned for longer

// The line through how long the same tone took, bath by bath: level until `from`, then slower by the same share each week.
std::optional<science::FadeLine> fall_from(const LotAgeing& lot, const Stamp& from) {
    std::vector<science::AgedStrip> strips;
    for (const LotSpeed& speed : lot.speeds) {
        strips.push_back({.age_h = std::max(0.0, seconds_between(from, speed.at) / 3600.0),
                          .time_s = 1.0 / speed.speed,
                          .log_sd = std::max(0.01, std::log(speed.high / speed.low) / (2.0 * science::kEightyOfHundred))});
    }
    const auto line = science::fade_line(strips, science::FadeKind::first_order);
    const bool falls = line && line->half_life_h && line->rate_per_h > 0.0 && line->rate_80.low > 0.0;
    return falls ? std::optional(*line) : std::nullopt;
}

// Since it was opened, or since something happened to it: the moments are on record, not fitted, so that the smaller scatter
// decides.
void project(LotAgeing& lot, const Stamp& now) {
    std::optional<science::FadeLine> best = fall_from(lot, *lot.opened);
    lot.falls_from = lot.opened;
    for (const LotHappening& happened : lot.happened) {
        const auto line = happened.at > *lot.opened ? fall_from(lot, happened.at) : std::nullopt;
        if (line && (!best || line->residual_log_sd < best->residual_log_sd)) {
            best = line;
            lot.falls_from = happened.at;
            lot.falls_since = happened.words;
        }
    }
    if (!best) {
        lot.falls_from.reset();
        lot.words += " No fall that chance would not make.";
        return;
    }
    const double times = std::log(kUseless_times);
    lot.fresh_speed = 1.0 / best->fresh_time_s;
    lot.half_weeks = *best->half_life_h / kHoursPerWeek;
    const auto when = [&](double rate) { return plus_seconds(*lot.falls_from, std::min(times / rate, kFarthest_h) * 3600.0); };
    lot.useless = when(best->rate_per_h);
    lot.useless_from = when(best->rate_80.high);
    lot.useless_to = when(best->rate_80.low);
    lot.words += fmt::format(" {} half of its strength is gone in about {} weeks; three times slower {} {}, between {} and {}.",
                             lot.falls_since.empty() ? std::string("Since it was opened") : fmt::format("Since it was {} on {}", lot.falls_since, date_text(*lot.falls_from)),
                             fixed_text(*lot.half_weeks, 1), *lot.useless < now ? "since about" : "from about", date_text(*lot.useless), date_text(*lot.useless_from),
                             date_text(*lot.useless_to));
}

}  // namespace

std::vector<LotAgeing> lot_ageing(Studio& studio, const Learned& learned) {
    const Drift seen = drift(studio, learned);
    std::vector<LotAgeing> all;
    for (const Lot& lot : store::list<Lot>(studio.log(), "WHERE retired_utc_ms IS NULL ORDER BY number")) {
        if (!studio.finish_kind(lot.finish_kind).dose) {
            continue;
        }
        LotAgeing one{.id = lot.id,
                      .lot = lot.number,
                      .kind = studio.finish_kind(lot.finish_kind).name,
                      .place = lot.place,
                      .opened = lot.opened_at,
                      .half_weeks = {},
                      .fresh_speed = {},
                      .falls_from = {},
                      .falls_since = {},
                      .useless = {},
                      .useless_from = {},
                      .useless_to = {},
                      .words = {}};
        for (const LotWeighing& weighing :
             store::list<LotWeighing>(studio.log(), "WHERE lot_id = ?1 ORDER BY at_utc_ms, id", {lot.id.text})) {
            if (!weighing.event.empty()) {
                one.happened.push_back({.at = weighing.at, .words = weighing.event});
            }
        }
        for (const DriftPoint& point : seen.points) {
            if (point.lot == lot.number && lot.opened_at && point.at >= *lot.opened_at) {
                one.speeds.push_back(
                    {.bath = point.bath, .at = point.at, .speed = point.speed, .low = point.low, .high = point.high});
            }
        }
        one.words = lot.opened_at ? fmt::format("Opened {}, {} weeks ago.", date_text(*lot.opened_at),
                                                fixed_text(std::max(0.0, seconds_between(*lot.opened_at, studio.now()) /
                                                                             3600.0 / kHoursPerWeek),
                                                           0))
                                  : std::string("When it was opened is not written down.");
        for (const LotHappening& happened : one.happened) {
            one.words += fmt::format(" What happened to it: {}, {}.", happened.words, date_text(happened.at));
        }
        if (!lot.opened_at || one.speeds.size() < kFewestForAgeing) {
            one.words += fmt::format(" {} with a judged strip or piece: too few to tell how it ages (it takes {}).",
                                     counted(one.speeds.size(), "bath", "baths"), kFewestForAgeing);
        } else {
            project(one, studio.now());
        }
        all.push_back(std::move(one));
    }
    std::ranges::stable_sort(all, [](const LotAgeing& a, const LotAgeing& b) { return natural_less(a.lot, b.lot); });
    return all;
}

}  // namespace tonebath::app
