#include "app/season.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/log.hpp"
#include "store/query.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

constexpr double kWeek_s = 7.0 * 86400.0;
constexpr std::size_t kMonths = 24;

std::int64_t whole(store::Log& log, const std::string& sql, const Span& span) {
    store::Query query(log, sql, {span.from.utc_ms, span.to.utc_ms});
    return query.next() ? query.integer(0) : 0;
}

Span span_of(Studio& studio, std::string name, const Stamp& from, const Stamp& to) {
    store::Log& log = studio.log();
    Span span{.name = std::move(name), .from = from, .to = to};
    // A dip counts when it went in, or about when, where only that is known.
    const std::string dips = "coalesce(d.dropped_utc_ms, d.at_about_utc_ms, d.made_utc_ms) >= ?1 AND coalesce(d.dropped_utc_ms, d.at_about_utc_ms, d.made_utc_ms) < ?2";
    const std::string pieces = "SELECT DISTINCT coalesce(d.piece_id, p.piece_id) AS id FROM dip d LEFT JOIN part p ON p.id = d.part_id WHERE d.strip_id IS NULL AND " + dips;
    span.baths = whole(log, "SELECT count(*) FROM bath WHERE made_up_utc_ms >= ?1 AND made_up_utc_ms < ?2", span);
    span.dips = whole(log, "SELECT count(*) FROM dip d WHERE d.strip_id IS NULL AND " + dips, span);
    span.strips = whole(log, "SELECT count(DISTINCT d.strip_id) FROM dip d WHERE d.strip_id IS NOT NULL AND " + dips, span);
    span.pieces = whole(log, "SELECT count(*) FROM (" + pieces + ")", span);
    span.gone_over = whole(log, "SELECT count(DISTINCT coalesce(j.piece_id, p.piece_id)) FROM judgement j LEFT JOIN part p ON p.id = j.part_id "
                                "WHERE j.sense = 'gone over' AND j.strip_id IS NULL AND j.at_utc_ms >= ?1 AND j.at_utc_ms < ?2", span);
    {
        store::Query query(log, "SELECT avg(room_temp_c) FROM bath WHERE made_up_utc_ms >= ?1 AND made_up_utc_ms < ?2", {from.utc_ms, to.utc_ms});
        span.room_c = query.next() ? query.maybe_real(0) : std::nullopt;
    }
    {
        store::Query query(log, "SELECT d.in_bath_s FROM dip d WHERE d.strip_id IS NULL AND d.in_bath_s IS NOT NULL AND " + dips + " ORDER BY d.in_bath_s", {from.utc_ms, to.utc_ms});
        std::vector<double> all;
        while (query.next()) {
            all.push_back(query.real(0));
        }
        if (!all.empty()) {
            span.in_bath_s = (all[(all.size() - 1) / 2] + all[all.size() / 2]) / 2.0;
        }
    }
    store::Query query(log, "SELECT design, count(*) FROM piece WHERE id IN (" + pieces + ") GROUP BY design ORDER BY count(*) DESC, design", {from.utc_ms, to.utc_ms});
    while (query.next()) {
        span.designs.push_back((query.text(0).empty() ? "no design" : query.text(0)) + " " + std::to_string(query.integer(1)));
    }
    return span;
}

std::string line_of(const Span& span) {
    std::string line = fmt::format("{}, {}, {}", counted(static_cast<std::size_t>(span.baths), "bath", "baths"), counted(static_cast<std::size_t>(span.dips), "dip", "dips"),
                                   counted(static_cast<std::size_t>(span.pieces), "piece", "pieces"));
    line += span.strips > 0 ? fmt::format(", {}", counted(static_cast<std::size_t>(span.strips), "strip", "strips")) : "";
    line += span.in_bath_s ? fmt::format(", {} in the bath", text_of(Seconds::from_seconds(*span.in_bath_s))) : "";
    line += span.room_c ? fmt::format(", room {}", text_of(Celsius::from_celsius(*span.room_c))) : "";
    line += span.gone_over > 0 ? fmt::format(", {} gone over", span.gone_over) : "";
    return line;
}

}  // namespace

Seasons seasons(Studio& studio) {
    const Stamp now = studio.now();
    CivilTime then = civil(now);
    --then.year;
    if (then.month == 2 && then.day == 29) {
        then.day = 28;
    }
    const Stamp year_ago = stamp_of(then, now.offset_min);
    Seasons all{.this_week = span_of(studio, "this week", plus_seconds(now, -kWeek_s), plus_seconds(now, 0.001)),
                .week_last_year = span_of(studio, "this week last year", plus_seconds(year_ago, -kWeek_s), plus_seconds(year_ago, 0.001)),
                .months = {}};
    std::optional<Stamp> first;
    {
        store::Query query(studio.log(), "SELECT made_up_utc_ms, made_up_offset_min FROM bath ORDER BY made_up_utc_ms LIMIT 1");
        if (query.next()) {
            first = query.stamp(0);
        }
    }
    if (!first) {
        return all;
    }
    const CivilTime last = civil(now);
    const int last_month = last.year * 12 + last.month - 1;
    const int first_month = std::max(civil(*first).year * 12 + civil(*first).month - 1, last_month - static_cast<int>(kMonths) + 1);
    for (int month = first_month; month <= last_month; ++month) {
        const auto begins = [&](int which) { return stamp_of({.year = which / 12, .month = which % 12 + 1, .day = 1, .hour = 0, .minute = 0}, now.offset_min); };
        const std::string first_day = date_text(begins(month));  // "1 Mar 2026"
        all.months.push_back(span_of(studio, first_day.substr(first_day.find(' ') + 1), begins(month), begins(month + 1)));
    }
    return all;
}

std::string seasons_text(const Seasons& seasons) {
    std::string text = "## This week\n";
    const auto add = [&text](const Span& span) {
        text += "- " + date_text(span.from) + " to " + date_text(span.to) + ": " + line_of(span) + "\n";
        if (!span.designs.empty()) {
            text += "- " + joined(span.designs, ", ") + "\n";
        }
    };
    add(seasons.this_week);
    text += "## The same week last year\n";
    if (seasons.week_last_year.baths + seasons.week_last_year.dips == 0) {
        text += "- Nothing was logged then.\n";
    } else {
        add(seasons.week_last_year);
    }
    text += "## Month by month\n";
    for (auto month = seasons.months.rbegin(); month != seasons.months.rend(); ++month) {
        text += "- " + month->name + ": " + line_of(*month) + (month->designs.empty() ? "" : "; " + joined(month->designs, ", ")) + "\n";
    }
    return text;
}

}  // namespace tonebath::app
