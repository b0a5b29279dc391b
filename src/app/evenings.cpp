#include "app/evenings.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/coat_plan.hpp"
#include "science/least_squares.hpp"
#include "science/paired.hpp"
#include "science/spread.hpp"
#include "science/students_t.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace tonebath::app {

namespace {

constexpr double kDay_s = 86400.0;
constexpr double kMonth_days = 30.0;
constexpr double kSlowBy = 1.2;        // ours: a fifth slower is worth a word
constexpr double kIdle_s = 5.0;        // ours: a shorter rest is no rest
constexpr double kNearAir_c = 1.5;     // ours: air is alike within so much
constexpr std::size_t kFewestForTrend = 4;
constexpr double kShortestForTrend_days = 14.0;

// Times between the strokes of one evening, read in the order of their places and layers.
struct Strokes {
    std::vector<double> paces, waits, idles;
    std::map<int, std::pair<std::int64_t, std::int64_t>> rounds;  // by layer: first and last stroke, ms
};

double seconds_of(std::int64_t from_ms, std::int64_t to_ms) { return static_cast<double>(to_ms - from_ms) / 1000.0; }

std::map<std::string, Strokes> strokes_of(store::Log& log) {
    std::map<std::string, Strokes> all;
    std::map<std::string, std::map<int, std::vector<std::int64_t>>> layers;
    store::Query query(log,
                       "SELECT coating_id, place, layer, at_utc_ms FROM coat WHERE coating_id IS NOT NULL AND place IS NOT NULL AND skipped = 0 "
                       "ORDER BY coating_id, place, layer, at_utc_ms");
    std::string coating;
    std::int64_t place = 0, before_ms = 0;
    while (query.next()) {
        const bool same = coating == query.text(0) && place == query.integer(1);
        coating = query.text(0);
        place = query.integer(1);
        const std::int64_t at_ms = query.integer(3);
        if (same) {
            all[coating].waits.push_back(seconds_of(before_ms, at_ms));
        }
        before_ms = at_ms;
        layers[coating][static_cast<int>(query.integer(2))].push_back(at_ms);
    }
    for (auto& [id, by_layer] : layers) {
        Strokes& strokes = all[id];
        std::optional<std::int64_t> last_ms;
        for (auto& [layer, times] : by_layer) {
            std::sort(times.begin(), times.end());
            for (std::size_t i = 1; i < times.size(); ++i) {
                strokes.paces.push_back(seconds_of(times[i - 1], times[i]));
            }
            if (last_ms) {
                strokes.idles.push_back(seconds_of(*last_ms, times.front()));
            }
            last_ms = times.back();
        }
    }
    return all;
}

std::optional<double> middle(const std::vector<double>& values) {
    return values.empty() ? std::nullopt : std::optional(science::median_of(values));
}

void add(StoneCount& to, const StoneCount& count) {
    to.seen += count.seen;
    to.harmed += count.harmed;
    to.not_seen += count.not_seen;
}

template <class Like>
OwnAir gathered(std::span<const EveningRecord> evenings, std::string_view kind, const Like& like) {
    OwnAir own;
    for (const EveningRecord& evening : evenings) {
        if (like(evening) && (kind.empty() || folded(evening.kind) == folded(kind))) {
            own.evenings.push_back(evening.bottle.empty() ? evening.number : fmt::format("{} ({})", evening.number, evening.bottle));
            add(own.count, evening.count);
            if (evening.wait_s) {
                own.wait_s = std::max(*evening.wait_s, own.wait_s.value_or(0.0));
            }
        }
    }
    return own;
}

std::vector<double> all_of(std::span<const EveningRecord> evenings, std::optional<double> EveningRecord::*field, std::string_view bottle, bool of_it) {
    std::vector<double> values;
    for (const EveningRecord& evening : evenings) {
        // Where the loop was the wait, the wait tells nothing of how long it dries.
        const bool tells = field != &EveningRecord::wait_s || !evening.loop_was_wait;
        if (tells && (evening.bottle == bottle) == of_it && evening.*field) {
            values.push_back(*(evening.*field));
        }
    }
    return values;
}

// Slower by a fifth, and beyond where one more evening of the others would fall in 95 of 100.
bool is_slow(double mine, const std::vector<double>& others) {
    const auto range = science::mean_range(others);
    if (others.size() < 3 || !range || mine < kSlowBy * range->mean) {
        return false;
    }
    const auto n = static_cast<double>(range->n);
    return mine > range->mean + science::two_sided_quantile(0.95, range->n - 1) * range->sd * std::sqrt(1.0 + 1.0 / n);
}

void trend_by_age(BottleTrend& trend) {
    std::vector<double> x, y;
    double from = 0.0, to = 0.0;
    for (const EveningRecord& evening : trend.evenings) {
        if (evening.bottle_days && evening.pace_s) {
            from = y.empty() ? *evening.bottle_days : std::min(from, *evening.bottle_days);
            to = std::max(to, *evening.bottle_days);
            x.insert(x.end(), {1.0, *evening.bottle_days / kMonth_days});
            y.push_back(*evening.pace_s);
        }
    }
    if (y.size() < kFewestForTrend || to - from < kShortestForTrend_days) {
        return;
    }
    const auto fit = science::linear_least_squares(x, y);
    if (fit && !fit->coef_se.empty()) {
        const double half = science::two_sided_quantile(0.95, fit->degrees_of_freedom) * fit->coef_se[1];
        trend.pace_per_month_s = fit->coef[1];
        trend.low_s = fit->coef[1] - half;
        trend.high_s = fit->coef[1] + half;
    }
}

// What else was different on the slow evenings: colder or damper than every evening of the other bottles.
std::string air_beside(const BottleTrend& trend, std::span<const EveningRecord> evenings) {
    std::optional<double> coldest_c, nearest_c;
    for (const EveningRecord& evening : evenings) {
        if (evening.bottle != trend.bottle) {
            coldest_c = evening.room_c ? std::optional(std::min(*evening.room_c, coldest_c.value_or(*evening.room_c))) : coldest_c;
            nearest_c = evening.margin_c ? std::optional(std::min(*evening.margin_c, nearest_c.value_or(*evening.margin_c))) : nearest_c;
        }
    }
    const auto all = [&](const auto& holds) { return std::ranges::all_of(trend.evenings, holds); };
    const bool cold = coldest_c && all([&](const EveningRecord& one) { return one.room_c && *one.room_c < *coldest_c - kNearAir_c; });
    const bool damp = nearest_c && all([&](const EveningRecord& one) { return one.margin_c && *one.margin_c < *nearest_c - kNearAir_c; });
    return cold && damp ? "colder and damper" : cold ? "colder" : damp ? "damper" : "";
}

void say(BottleTrend& trend, std::span<const EveningRecord> evenings) {
    std::vector<std::string> beside;
    if (trend.slow && trend.wait_s && trend.others_wait_s) {
        beside.push_back(fmt::format("{} between coats against {}", span_words(*trend.wait_s), span_words(*trend.others_wait_s)));
    }
    if (trend.slow && trend.pace_s && trend.others_pace_s) {
        beside.push_back(fmt::format("{} a stone against {}", span_words(*trend.pace_s), span_words(*trend.others_pace_s)));
    }
    if (!beside.empty()) {
        trend.words.push_back(fmt::format("Brushes or dries slower than your other bottles: {}.", joined(beside, "; ")));
        if (const std::string air = air_beside(trend, evenings); !air.empty()) {
            trend.words.push_back(fmt::format("It was also {} whenever it was used: thick lacquer and air cannot be parted by this log.", air));
        }
    }
    if (trend.pace_per_month_s) {
        const bool surely = *trend.low_s > 0.0 || *trend.high_s < 0.0;
        trend.words.push_back(surely ? fmt::format("Each month it takes {} s more a stone ({} to {}).", fixed_text(*trend.pace_per_month_s, 1), fixed_text(*trend.low_s, 1), fixed_text(*trend.high_s, 1))
                                     : fmt::format("No slowing with age is seen yet ({} to {} s a stone each month).", fixed_text(*trend.low_s, 1), fixed_text(*trend.high_s, 1)));
    }
    if (trend.evenings.empty()) {
        trend.words.emplace_back("No evening with it is timed yet.");
    } else if (trend.words.empty()) {
        trend.words.emplace_back("No slower than your other bottles, as far as its evenings show.");
    }
}

}  // namespace

std::string span_words(double seconds) {
    const double minutes = std::round(seconds / 60.0);
    if (seconds <= 0.0 || std::abs(seconds - 60.0 * minutes) > 1e-9) {
        return text_of(Seconds::from_seconds(seconds));
    }
    const double hours = std::floor(minutes / 60.0);
    const double rest = minutes - 60.0 * hours;
    return rest == 0.0 ? fixed_text(hours, 0) + " h" : minutes < 120.0 ? fixed_text(minutes, 0) + " min" : fmt::format("{} h {} min", fixed_text(hours, 0), fixed_text(rest, 0));
}

std::vector<EveningRecord> evening_records(Studio& studio, std::span<const StoneRow> rows) {
    std::map<std::string, StoneCount> counts;
    for (const StoneRow& row : rows) {
        if (!row.coating.empty()) {
            StoneCount& count = counts[row.coating];
            count.seen += row.seen() ? 1 : 0;
            count.harmed += row.harmed_days ? 1 : 0;
            count.not_seen += row.seen() ? 0 : 1;
        }
    }
    const std::map<std::string, Strokes> strokes = strokes_of(studio.log());
    std::map<std::string, Bottle> bottles;
    for (Bottle& bottle : store::list<Bottle>(studio.log())) {
        bottles.emplace(bottle.id.text, std::move(bottle));
    }
    std::vector<EveningRecord> evenings;
    for (const Coating& coating : store::list<Coating>(studio.log(), "ORDER BY started_utc_ms, id")) {
        const auto timed = strokes.find(coating.id.text);
        if (timed == strokes.end()) {
            continue;
        }
        EveningRecord evening{.id = coating.id, .number = coating.number, .at = coating.started_at, .humidity_percent = coating.humidity_percent, .stones = coating.stones};
        if (const auto bottle = coating.bottle_id ? bottles.find(coating.bottle_id->text) : bottles.end(); bottle != bottles.end()) {
            evening.bottle = bottle->second.number;
            evening.kind = bottle->second.kind;
            evening.bottle_days = bottle->second.opened_at ? std::optional(seconds_between(*bottle->second.opened_at, coating.started_at) / kDay_s) : std::nullopt;
        }
        if (coating.room) {
            evening.room_c = coating.room->celsius();
            if (coating.humidity_percent && *coating.humidity_percent > 0.0) {
                evening.margin_c = science::room_air(*evening.room_c, *coating.humidity_percent).margin_c;
            }
        }
        evening.pace_s = middle(timed->second.paces);
        evening.wait_s = middle(timed->second.waits);
        const auto idle = middle(timed->second.idles);
        evening.loop_was_wait = idle && evening.pace_s && *idle - *evening.pace_s < kIdle_s;
        if (const auto count = counts.find(evening.number); count != counts.end()) {
            evening.count = count->second;
        }
        evenings.push_back(std::move(evening));
    }
    return evenings;
}

std::string OwnAir::words() const {
    return fmt::format("{} {}: {}{}", evenings.size() == 1 ? "evening" : "evenings", joined(evenings, ", "),
                       wait_s ? span_words(std::round(*wait_s)) + " between coats; " : "", count.words());
}

OwnAir evenings_as_cold(std::span<const EveningRecord> evenings, double room_c, std::string_view kind) {
    return gathered(evenings, kind, [room_c](const EveningRecord& one) { return one.room_c && std::abs(*one.room_c - room_c) <= kNearAir_c; });
}

OwnAir evenings_as_damp(std::span<const EveningRecord> evenings, double margin_c, std::string_view kind) {
    return gathered(evenings, kind, [margin_c](const EveningRecord& one) { return one.margin_c && std::abs(*one.margin_c - margin_c) <= kNearAir_c; });
}

std::vector<BottleTrend> bottle_trends(Studio& studio, std::span<const EveningRecord> evenings) {
    std::vector<BottleTrend> trends;
    for (const Bottle& bottle : store::list<Bottle>(studio.log(), "ORDER BY opened_utc_ms, number")) {
        BottleTrend trend{.id = bottle.id, .bottle = bottle.number, .kind = bottle.kind, .emptied = bottle.emptied_at.has_value(), .solids_percent = bottle.solids_percent};
        if (bottle.opened_at) {
            trend.days_open = seconds_between(*bottle.opened_at, bottle.emptied_at.value_or(studio.now())) / kDay_s;
        }
        trend.recoat_s = bottle.recoat ? std::optional(bottle.recoat->seconds()) : std::nullopt;
        trend.cure_s = bottle.cure ? std::optional(bottle.cure->seconds()) : std::nullopt;
        for (const EveningRecord& evening : evenings) {
            if (evening.bottle == bottle.number) {
                trend.evenings.push_back(evening);
                add(trend.count, evening.count);
            }
        }
        for (const auto& [field, mine, theirs] : {std::tuple{&EveningRecord::pace_s, &trend.pace_s, &trend.others_pace_s},
                                                  std::tuple{&EveningRecord::wait_s, &trend.wait_s, &trend.others_wait_s}}) {
            const std::vector<double> others = all_of(evenings, field, bottle.number, false);
            *mine = middle(all_of(evenings, field, bottle.number, true));
            *theirs = middle(others);
            trend.slow = trend.slow || (*mine && is_slow(**mine, others));
        }
        trend_by_age(trend);
        say(trend, evenings);
        trends.push_back(std::move(trend));
    }
    return trends;
}

}  // namespace tonebath::app
