#include "store/rehearsal.hpp"

#include "model/nouns.hpp"
#include "store/backup.hpp"
#include "store/beside.hpp"
#include "store/join_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace tonebath::store {
namespace {

namespace fs = std::filesystem;

// Both are walked in the order of ids, each row against its other.
RehearsedTable compared(Log& log, Log& restored, const JoinTable& table, const std::set<std::string>& changed_since) {
    RehearsedTable result{.table = table.name};
    const std::string sql = table.select() + " ORDER BY id";
    Query now(log, sql);
    Query then(restored, sql);
    bool has_now = now.next();
    bool has_then = then.next();
    const auto differs = [&](const std::string& id) { ++(changed_since.count(id) != 0 ? result.later : result.unexplained); };
    while (has_now || has_then) {
        const std::string id_now = has_now ? now.text(0) : std::string();
        const std::string id_then = has_then ? then.text(0) : std::string();
        const bool take_now = has_now && (!has_then || id_now <= id_then);
        const bool take_then = has_then && (!has_now || id_then <= id_now);
        if (take_now && take_then) {
            row_of(now, table.columns.size()) == row_of(then, table.columns.size()) ? static_cast<void>(++result.equal) : differs(id_now);
        } else {
            differs(take_now ? id_now : id_then);
        }
        result.in_log += take_now ? 1 : 0;
        result.in_backup += take_then ? 1 : 0;
        has_now = take_now ? now.next() : has_now;
        has_then = take_then ? then.next() : has_then;
    }
    return result;
}

// The change log itself only grows: what the backup has of it must stand here word by word.
RehearsedTable compared_changes(Log& log, Log& restored) {
    RehearsedTable result{.table = "change"};
    constexpr const char* kAll = "SELECT c.id || ' ' || c.step || ' ' || coalesce(r.table_name || r.record_id || r.kind || r.before_json || r.after_json, '') FROM change c "
                                 "LEFT JOIN change_row r ON r.change_seq = c.seq ORDER BY c.id, r.table_name, r.record_id, r.kind, r.before_json, r.after_json";
    std::vector<std::string> now, then;
    for (auto& [which, rows] : {std::pair<Log&, std::vector<std::string>&>{log, now}, {restored, then}}) {
        Query query(which, kAll);
        while (query.next()) {
            rows.push_back(query.text(0));
        }
        std::sort(rows.begin(), rows.end());
    }
    std::vector<std::string> missing;
    std::set_difference(then.begin(), then.end(), now.begin(), now.end(), std::back_inserter(missing));
    result.in_backup = static_cast<std::int64_t>(then.size());
    result.in_log = static_cast<std::int64_t>(now.size());
    result.unexplained = static_cast<std::int64_t>(missing.size());
    result.equal = result.in_backup - result.unexplained;
    result.later = result.in_log - result.equal;
    return result;
}

}  // namespace

bool Rehearsal::sound() const {
    return faults.empty() && std::all_of(tables.begin(), tables.end(), [](const RehearsedTable& one) { return one.unexplained == 0; });
}

Result<Rehearsal> rehearse_restore(Log& log, const fs::path& backup, const std::function<bool(std::int64_t done, std::int64_t all)>& goes_on) {
    const Aside aside;
    if (const auto restored = restore(aside.log(), backup); !restored) {
        return restored.error();
    }
    Result<std::unique_ptr<Log>> opened = Log::open(aside.log(), OpenMode::read_write);
    if (!opened) {
        return opened.error();
    }
    const std::unique_ptr<Log> restored = std::move(opened).value();
    Rehearsal rehearsal;
    rehearsal.faults = restored->faults();
    const Snapshot moment(log);
    std::set<std::string> changed_since;
    {
        std::set<std::string> then;
        Query known(*restored, "SELECT id FROM change");
        while (known.next()) {
            then.insert(known.text(0));
        }
        Query now(log, "SELECT c.id, r.record_id FROM change c LEFT JOIN change_row r ON r.change_seq = c.seq");
        std::set<std::string> since;
        while (now.next()) {
            if (then.count(now.text(0)) == 0) {
                since.insert(now.text(0));
                changed_since.insert(now.text(1));
            }
        }
        rehearsal.changes_since = static_cast<std::int64_t>(since.size());
    }
    const std::vector<JoinTable> tables = join_tables(log);
    for (const JoinTable& table : tables) {
        if (goes_on && !goes_on(static_cast<std::int64_t>(rehearsal.tables.size()), static_cast<std::int64_t>(tables.size()))) {
            return Refusal{.code = "rehearsal.given_up", .field = "backup", .value = {}, .message = "the rehearsal was given up; nothing was changed.", .remedy = {}, .answers = {}};
        }
        rehearsal.tables.push_back(compared(log, *restored, table, changed_since));
    }
    rehearsal.tables.push_back(compared_changes(log, *restored));
    return rehearsal;
}

}  // namespace tonebath::store
