#include "app/check_lapse.hpp"

#include "app/studio.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

constexpr double kClockSlack_s = 60.0;  // a clock set back a little makes nothing unanswered

// The work that a make-up, coating or disposal list stood before was written down since: after the moment it was done, or
// in the same millisecond behind its last answer (ids rise within a millisecond).
bool used_up(Studio& studio, const Checklist& list, const CheckAbout& about, const Stamp& done, const std::string& last_id) {
    const auto any = [&](const std::string& sql, std::vector<store::Bound> values) {
        values.insert(values.begin(), {done.utc_ms, last_id});
        store::Query query(studio.log(), sql + " AND made_utc_ms >= ?1 AND (made_utc_ms > ?1 OR id > ?2) LIMIT 1", values);
        return query.next();
    };
    if (list.holds(Gate::mix) && any("SELECT 1 FROM bath WHERE who IS ?3 AND finish_kind = ?4 AND past_work = 0",
                                     {store::bound(about.who), about.kind})) {
        return true;
    }
    // So does stock for a bath in use, by whoever opened it; what was typed half a day afterwards opened nothing now.
    if (list.holds(Gate::mix) && any("SELECT 1 FROM top_up WHERE amount IS NOT NULL AND made_utc_ms - at_utc_ms <= ?4 AND bath_id IN "
                                     "(SELECT id FROM bath WHERE finish_kind = ?3 AND past_work = 0)",
                                     {about.kind, static_cast<std::int64_t>(kAfterwards_s * 1000.0)})) {
        return true;
    }
    if (list.holds(Gate::coat) && !about.bath_id &&
        any("SELECT 1 FROM coating WHERE who IS ?3", {store::bound(about.who)})) {
        return true;
    }
    return list.holds(Gate::dispose) &&
           any("SELECT 1 FROM disposal WHERE who IS ?3 AND bath_id IS ?4 AND past_work = 0 AND withdrawn_by = ''",
               {store::bound(about.who), store::bound(about.bath_id)});
}

struct Span {
    std::int64_t from = 0, to = 0;
};

// What was done at the bath since then: dips as spans, readings, top-ups, rinses and answers as moments.
std::vector<Span> done_at_bath(Studio& studio, const Id<Bath>& bath, std::int64_t since_ms) {
    std::vector<Span> spans;
    store::Query query(
        studio.log(),
        "SELECT dropped_utc_ms, COALESCE(out_utc_ms, 9000000000000000) FROM dip WHERE bath_id = ?1 AND past_work = 0 AND "
        "dropped_utc_ms IS NOT NULL AND COALESCE(out_utc_ms, 9000000000000000) >= ?2 "
        "UNION ALL SELECT made_utc_ms, made_utc_ms FROM reading WHERE bath_id = ?1 AND made_utc_ms >= ?2 "
        "UNION ALL SELECT made_utc_ms, made_utc_ms FROM top_up WHERE bath_id = ?1 AND made_utc_ms >= ?2 "
        "UNION ALL SELECT rinse.made_utc_ms, rinse.made_utc_ms FROM rinse JOIN dip ON dip.id = rinse.dip_id WHERE "
        "dip.bath_id = ?1 AND dip.past_work = 0 AND rinse.made_utc_ms >= ?2 "
        "UNION ALL SELECT a.at_utc_ms, a.at_utc_ms FROM check_answer a JOIN check_run r ON r.id = a.run_id WHERE "
        "r.bath_id = ?1 AND a.at_utc_ms >= ?2 ORDER BY 1",
        {bath.text, since_ms});
    while (query.next()) {
        spans.push_back({query.integer(0), query.integer(1)});
    }
    return spans;
}

// The break of more than 15 minutes at the bath since then, in words; empty = none.
std::string break_since(Studio& studio, const Id<Bath>& bath, const Stamp& since) {
    std::int64_t covered = since.utc_ms;
    std::vector<Span> spans = done_at_bath(studio, bath, since.utc_ms);
    spans.push_back({studio.now().utc_ms, studio.now().utc_ms});
    for (const Span& span : spans) {
        const double idle_s = static_cast<double>(span.from - covered) / 1000.0;
        if (idle_s > kBreak_s) {
            return fmt::format("a break of {:.0f} minutes at the bath", idle_s / 60.0);
        }
        covered = std::max(covered, span.to);
    }
    return {};
}

// The session of this bath was closed since then, by anyone.
bool session_closed(Studio& studio, const Id<Bath>& bath, const Stamp& since) {
    for (const Checklist& list : studio.checklists().lists) {
        if (!list.goes_along()) {
            continue;
        }
        store::Query query(studio.log(),
                           "SELECT 1 FROM check_run WHERE list_key = ?1 AND bath_id = ?2 AND withdrawn_by = '' AND "
                           "done_utc_ms > ?3 LIMIT 1",
                           {list.key, bath.text, since.utc_ms});
        if (query.next()) {
            return true;
        }
    }
    return false;
}

}  // namespace

std::optional<CheckRun> newest_run(Studio& studio, const Checklist& list, const CheckAbout& about) {
    const std::vector<CheckRun> found = store::list<CheckRun>(
        studio.log(),
        "WHERE list_key = ?1 AND who IS ?2 AND bath_id IS ?3 AND class_id IS ?4 AND room_id IS ?5 AND finish_kind = ?6 "
        "AND withdrawn_by = '' ORDER BY at_utc_ms DESC, id DESC LIMIT 1",
        {list.key, store::bound(about.who), store::bound(about.bath_id), store::bound(about.class_id), store::bound(about.room_id), about.kind});
    return found.empty() ? std::nullopt : std::optional<CheckRun>(found.front());
}

std::vector<CheckAnswer> answers_of(Studio& studio, const Id<CheckRun>& run) {
    return store::list<CheckAnswer>(studio.log(), "WHERE run_id = ?1 ORDER BY at_utc_ms, id", {run.text});
}

std::string lapse_of(Studio& studio, const Checklist& list, const CheckAbout& about, const CheckRun& run,
                 const std::vector<CheckAnswer>& answers) {
    const Stamp now = studio.now();
    if (run.list_version != list.version) {
        return "the list was changed";
    }
    const Stamp first = answers.empty() ? run.at : answers.front().at;
    const Stamp last = answers.empty() ? run.at : answers.back().at;
    if (seconds_between(run.at, now) < -kClockSlack_s) {
        return "the clock was set back";
    }
    if (seconds_between(first, now) >= kCheckHolds_s) {
        return "two hours went by";
    }
    if (about.bath_id) {
        const auto bath = store::find(studio.log(), *about.bath_id);
        if (bath && bath->ended_at && !list.holds(Gate::dispose)) {
            return "the bath was ended";
        }
    }
    if (!run.done_at && !list.goes_along()) {
        return seconds_between(last, now) > kBreak_s ? "it was broken off for more than 15 minutes" : "";
    }
    if (list.holds(Gate::start_bath) && about.bath_id) {
        if (list.goes_along() ? run.done_at.has_value() : session_closed(studio, *about.bath_id, *run.done_at)) {
            return "the session was closed";
        }
        return break_since(studio, *about.bath_id, last);
    }
    if (!run.done_at || list.gates.empty()) {
        return {};
    }
    if (seconds_between(*run.done_at, now) > kListHolds_s) {
        return "half an hour went by";
    }
    const std::string last_id = answers.empty() ? run.id.text : answers.back().id.text;
    return used_up(studio, list, about, *run.done_at, last_id) ? "the work it stood before is written down" : "";
}

}  // namespace tonebath::app
