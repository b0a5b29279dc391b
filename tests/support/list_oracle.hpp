// What may begin, told from the records alone, without the gates of the program: someone confirmed every stop of the list that
// applies to the finish, and answered or passed over every must, in one use of the list that was closed by then, not yet
// withdrawn and no older than two hours.
#pragma once

#include "app/checks.hpp"
#include "app/studio.hpp"
#include "model/checklist.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <string>
#include <vector>

namespace tonebath::test {

inline std::int64_t count_of(store::Log& log, const std::string& sql, const std::vector<store::Bound>& values = {}) {
    store::Query query(log, sql, values);
    return query.next() ? query.integer(0) : 0;
}

// `bath`: its id, for a list that is answered for one bath; else empty.
inline bool list_answered(app::Studio& studio, const std::string& key, const std::string& kind, const std::string& who, const std::string& bath, const Stamp& at) {
    store::Log& log = studio.log();
    const std::vector<ChecklistItem> items = items_for(*studio.checklists().find(key), studio.finish_kind(kind));
    for (const CheckRun& use : store::list<CheckRun>(log, "WHERE list_key = ?1 AND who = ?2 AND done_utc_ms <= ?3 AND (withdrawn_utc_ms IS NULL OR withdrawn_utc_ms >= ?3)",
                                                   {key, who, at.utc_ms})) {
        if (use.finish_kind != kind || (use.bath_id ? use.bath_id->text : "") != bath || at.utc_ms - use.at.utc_ms > 2 * 3600 * 1000) {
            continue;
        }
        bool whole = true;
        for (const ChecklistItem& item : items) {
            if (item.level == CheckLevel::advise || !item.needs.empty()) {
                continue;
            }
            const bool held = item.hold_min && count_of(log, "SELECT count(*) FROM check_answer WHERE item_key = ?1 AND state = 'confirmed' AND who = ?2", {item.duplicate_of, who}) > 0;
            const std::int64_t answered = count_of(log, std::string("SELECT count(*) FROM check_answer WHERE run_id = ?1 AND item_key = ?2 AND state IN ('confirmed'") +
                                                           (item.level == CheckLevel::must ? ", 'passed over')" : ")"),
                                                   {use.id.text, item.key});
            whole = whole && (answered > 0 || held);
        }
        if (whole) {
            return true;
        }
    }
    return false;
}

// Every make-up, dip, coating and disposal that was written down as done now, without its list; empty = as it must be.
inline std::vector<std::string> begun_without_list(app::Studio& studio) {
    store::Log& log = studio.log();
    std::vector<std::string> open;
    const auto look = [&](const std::string& what, const std::string& key, const std::string& kind, const std::optional<Id<Person>>& who, const std::string& bath, const Stamp& at) {
        if (!who || !list_answered(studio, key, kind, who->text, bath, at)) {
            open.push_back(what + " of " + (who ? who->text : "nobody"));
        }
    };
    for (const Bath& bath : store::list<Bath>(log, "WHERE past_work = 0")) {
        look("bath " + bath.number, "before_mixing", bath.finish_kind, bath.who, "", bath.made_at);
    }
    for (const Dip& dip : store::list<Dip>(log, "WHERE past_work = 0")) {
        look("dip " + dip.id.text, "before_session", store::find(log, dip.bath_id)->finish_kind, dip.who, dip.bath_id.text, dip.made_at);
    }
    for (const Coating& coating : store::list<Coating>(log)) {
        look("coating " + coating.id.text, "lacquer", "lacquer_solvent", coating.who, "", coating.made_at);
    }
    for (const Disposal& disposal : store::list<Disposal>(log, "WHERE past_work = 0 AND bath_id IS NOT NULL")) {
        look("disposal " + disposal.id.text, "after_disposal", store::find(log, *disposal.bath_id)->finish_kind, disposal.who, disposal.bath_id->text, disposal.made_at);
    }
    return open;
}

}  // namespace tonebath::test
