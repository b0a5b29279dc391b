#include "store/join.hpp"

#include "base/text.hpp"
#include "model/nouns.hpp"
#include "store/backwards.hpp"
#include "store/change.hpp"
#include "store/join_tables.hpp"

#include <fmt/format.h>

#include <unordered_map>
#include <unordered_set>

namespace tonebath::store {
namespace {

// Kept records that the join added, and what they refer to, step by step.
std::unordered_set<std::string> staying(Log& log, const std::vector<ChangeRow>& rows) {
    std::unordered_map<std::string, const ChangeRow*> added;
    for (const ChangeRow& row : rows) {
        if (row.kind == "insert") {
            added[row.record_id] = &row;
        }
    }
    std::vector<const ChangeRow*> open;
    for (const auto& [id, row] : added) {
        if (is_kept_table(row->table)) {
            open.push_back(row);
        }
    }
    const std::vector<JoinTable> tables = join_tables(log);
    std::unordered_set<std::string> stays;
    while (!open.empty()) {
        const ChangeRow* row = open.back();
        open.pop_back();
        if (!stays.insert(row->record_id).second) {
            continue;
        }
        for (const JoinTable& table : tables) {
            if (table.name != row->table) {
                continue;
            }
            Query query(log, table.select() + " WHERE id = ?1", {row->record_id});
            if (!query.next()) {
                continue;
            }
            const std::vector<Bound> record = row_of(query, table.columns.size());
            for (std::size_t i = 0; i < record.size(); ++i) {
                const auto parent = table.refers_to[i].empty() ? added.end() : added.find(text_of(record[i]));
                if (parent != added.end()) {
                    open.push_back(parent->second);
                }
            }
        }
    }
    return stays;
}

void withdraw(Log& log, const ChangeRow& row, const Stamp& at, const std::string& initials) {
    if (row.table == Press::kTable) {
        run(log, "UPDATE press SET undone = 1 WHERE id = ?1", {row.record_id});
    } else if (row.table == CheckRun::kTable) {
        run(log, "UPDATE check_run SET withdrawn_by = ?1, withdrawn_utc_ms = ?2, withdrawn_offset_min = ?3 WHERE id = ?4 AND withdrawn_by = ''",
            {initials, at.utc_ms, std::int64_t{at.offset_min}, row.record_id});
    } else if (row.table == Disposal::kTable || row.table == NearMiss::kTable) {
        run(log, fmt::format("UPDATE \"{}\" SET withdrawn_by = ?1 WHERE id = ?2 AND withdrawn_by = ''", row.table), {initials, row.record_id});
    }
}

}  // namespace

Result<Done> take_back_join(Log& log, const std::string& change_id, const Stamp& at, const std::string& who_id, const std::string& initials,
                            IdSource& ids) {
    std::optional<ChangeEntry> entry = change_of_id(log, change_id);
    if (!entry) {
        return undo_refused("undo.missing", "", "There is no such change in this log.", "Look at the list of changes.");
    }
    Change change(log, "take back: " + entry->step, at, who_id, ids);
    entry = change_of_id(log, change_id);
    if (!entry->undone_by.empty()) {
        return undo_refused("undo.already", entry->step, "This was taken back before.", "Look at the changes after it.");
    }
    try {
        const std::unordered_set<std::string> stays = staying(log, entry->rows);
        Backwards backwards(log);
        std::vector<ChangeRow> goes;
        for (const ChangeRow& row : entry->rows) {
            if (row.kind == "insert" && stays.count(row.record_id) != 0) {
                withdraw(log, row, at, initials);
                continue;
            }
            if (std::optional<std::string> what = backwards.changed_since(row)) {
                return undo_refused("undo.changed_since", entry->step, *what, "Take the later change back first, or correct it by hand.");
            }
            goes.push_back(row);
        }
        run(log, "PRAGMA defer_foreign_keys = ON");
        for (const ChangeRow& row : in_order_of_undoing(std::move(goes))) {
            backwards.apply(row);
        }
        change.takes_back(change_id);
        change.commit();
    } catch (const StoreError& failed) {
        if (failed.kind() != StoreError::Kind::rule) {
            throw;
        }
        return undo_refused("undo.needed", entry->step, "A later record stands on what this would take away.", "Take the later steps back first.");
    }
    return Done{};
}

}  // namespace tonebath::store
