#include "store/change.hpp"

#include "model/nouns.hpp"
#include "store/backwards.hpp"
#include "store/brought_in.hpp"
#include "store/errors.hpp"
#include "store/query.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <utility>

namespace tonebath::store {
namespace {

constexpr const char* kEntryColumns =
    "SELECT id, seq, at_utc_ms, at_offset_min, who_id, step, coalesce(undoes, '') FROM change ";

// The change that took `id` back and still stands: one that was itself taken back does not count.
std::string standing_undo(Log& log, const std::string& id) {
    std::vector<std::string> undos;
    {
        Query query(log, "SELECT id FROM change WHERE undoes = ?1 ORDER BY seq DESC", {id});
        while (query.next()) {
            undos.push_back(query.text(0));
        }
    }
    for (const std::string& undo : undos) {
        if (standing_undo(log, undo).empty()) {
            return undo;
        }
    }
    return {};
}

std::vector<ChangeRow> rows_of(Log& log, std::int64_t seq) {
    Query query(
        log,
        "SELECT table_name, record_id, kind, before_json, after_json FROM change_row WHERE change_seq = ?1 ORDER BY id",
        {seq});
    std::vector<ChangeRow> rows;
    while (query.next()) {
        rows.push_back(ChangeRow{query.text(0), query.text(1), query.text(2), query.text(3), query.text(4)});
    }
    return rows;
}

std::vector<ChangeEntry> entries(Log& log, const std::string& tail, const std::vector<Bound>& values) {
    std::vector<ChangeEntry> found;
    {
        Query query(log, kEntryColumns + tail, values);
        while (query.next()) {
            ChangeEntry& entry = found.emplace_back();
            entry.id = query.text(0);
            entry.seq = query.integer(1);
            entry.at = query.stamp(2);
            entry.who_id = query.text(4);
            entry.step = query.text(5);
            entry.undoes = query.text(6);
        }
    }
    for (ChangeEntry& entry : found) {
        entry.undone_by = standing_undo(log, entry.id);
        entry.rows = rows_of(log, entry.seq);
        entry.touches_kept = std::any_of(entry.rows.begin(), entry.rows.end(),
                                         [](const ChangeRow& row) { return is_kept_table(row.table); });
        entry.brought_in = is_brought_in(log, entry.id);
    }
    return found;
}

// The ids that undo and redo stand on, last = next.
struct Stacks {
    std::vector<std::string> undo;  // changes that stand
    std::vector<std::string> redo;  // undos that stand, of changes in reverse order
};

bool touches_kept_tables(Log& log, const std::string& change_id) {
    Query query(log, "SELECT DISTINCT table_name FROM change_row JOIN change ON seq = change_seq WHERE change.id = ?1",
                {change_id});
    while (query.next()) {
        if (is_kept_table(query.text(0))) {
            return true;
        }
    }
    return false;
}

// Plays the session's changes through: a new step empties redo; an undo moves its change over to redo, a redo back.
Stacks stacks_since(Log& log, const Stamp& since) {
    struct Origin {
        std::string change;  // the step that all began with
        bool forward;        // false: it is taken back by this change
    };
    std::map<std::string, Origin> known;
    Stacks stacks;
    std::map<std::string, std::string> undo_of;  // step -> the undo that stands on redo
    // What touched no record is no step here, nor what came with another bench's log (below 1).
    Query query(log, "SELECT id, coalesce(undoes, '') FROM change WHERE at_utc_ms >= ?1 AND seq >= 1 AND (undoes IS NOT NULL OR EXISTS (SELECT 1 FROM "
                     "change_row WHERE change_seq = seq)) ORDER BY seq",
                {since.utc_ms});
    while (query.next()) {
        const std::string id = query.text(0);
        const std::string undoes = query.text(1);
        if (undoes.empty()) {
            known[id] = {id, true};
            stacks.undo.push_back(id);
            stacks.redo.clear();
            continue;
        }
        const auto before = known.find(undoes);
        // A step from before this session can only be taken back by name.
        const Origin origin =
            before == known.end() ? Origin{undoes, false} : Origin{before->second.change, !before->second.forward};
        known[id] = origin;
        if (origin.forward) {
            std::erase(stacks.redo, undo_of[origin.change]);
            stacks.undo.push_back(origin.change);
        } else {
            std::erase(stacks.undo, origin.change);
            undo_of[origin.change] = id;
            stacks.redo.push_back(id);
        }
    }
    return stacks;
}

Refusal refused(std::string code, const ChangeEntry& entry, std::string message, std::string remedy) {
    return undo_refused(std::move(code), entry.step, std::move(message), std::move(remedy));
}

bool is_noun_table(std::string_view table) {
    bool found = false;
    for_each_noun([&found, table]<class Noun>(const Noun&) { found = found || Noun::kTable == table; });
    return found;
}

// "undo: make up bath 46", and for what brings that back "redo: make up bath 46".
std::string step_text(const ChangeEntry& entry) {
    constexpr std::string_view kUndo = "undo: ";
    constexpr std::string_view kRedo = "redo: ";
    const std::string_view step = entry.step;
    if (!entry.undoes.empty() && step.starts_with(kUndo)) {
        return std::string(kRedo) + std::string(step.substr(kUndo.size()));
    }
    if (!entry.undoes.empty() && step.starts_with(kRedo)) {
        return std::string(kUndo) + std::string(step.substr(kRedo.size()));
    }
    return std::string(kUndo) + entry.step;
}

std::optional<Refusal> not_to_be_taken_back(const ChangeEntry& entry) {
    if (!entry.undone_by.empty()) {
        return refused("undo.already", entry, "This was taken back before.", "Look at the changes after it.");
    }
    for (const ChangeRow& row : entry.rows) {
        if (!is_noun_table(row.table)) {
            throw StoreError(
                fmt::format("The change log names a table \"{}\" that this program does not know.", row.table),
                StoreError::Kind::damaged);
        }
        if (is_kept_table(row.table) && !entry.brought_in) {
            return refused("undo.kept_record", entry,
                           "Checks, their answers, disposals and presses of the bench key stay on record.",
                           "Withdraw it instead; who did so is written beside it.");
        }
    }
    return std::nullopt;
}

}  // namespace

std::vector<ChangeEntry> changes(Log& log, std::size_t limit, std::string_view record_id) {
    const auto most = static_cast<std::int64_t>(limit);
    if (record_id.empty()) {
        return entries(log, "ORDER BY seq DESC LIMIT ?1", {most});
    }
    return entries(log,
                   "WHERE seq IN (SELECT change_seq FROM change_row WHERE record_id = ?1) ORDER BY seq DESC LIMIT ?2",
                   {std::string(record_id), most});
}

std::optional<ChangeEntry> change_of_id(Log& log, const std::string& change_id) {
    std::vector<ChangeEntry> found = entries(log, "WHERE id = ?1", {change_id});
    return found.empty() ? std::nullopt : std::optional<ChangeEntry>(std::move(found.front()));
}

std::optional<ChangeEntry> next_undo(Log& log, const Stamp& since) {
    const Stacks stacks = stacks_since(log, since);
    return stacks.undo.empty() ? std::nullopt : change_of_id(log, stacks.undo.back());
}

std::optional<ChangeEntry> next_redo(Log& log, const Stamp& since) {
    Stacks stacks = stacks_since(log, since);
    while (!stacks.redo.empty() && touches_kept_tables(log, stacks.redo.back()) && !is_brought_in(log, stacks.redo.back())) {
        stacks.redo.pop_back();
    }
    return stacks.redo.empty() ? std::nullopt : change_of_id(log, stacks.redo.back());
}

Result<Done> take_back(Log& log, const std::string& change_id, const Stamp& at, std::string who_id, IdSource& ids) {
    std::optional<ChangeEntry> entry = change_of_id(log, change_id);
    if (!entry) {
        return refused("undo.missing", ChangeEntry{}, "There is no such change in this log.",
                       "Look at the list of changes.");
    }
    Change change(log, step_text(*entry), at, std::move(who_id), ids);
    entry = change_of_id(log, change_id);  // as it stands now that no other program can write
    if (std::optional<Refusal> no = not_to_be_taken_back(*entry)) {
        return *no;
    }
    try {
        Backwards backwards(log);
        for (const ChangeRow& row : entry->rows) {
            if (std::optional<std::string> what = backwards.changed_since(row)) {
                return refused("undo.changed_since", *entry, *what,
                               "Take the later change back first, or correct it by hand.");
            }
        }
        run(log, "PRAGMA defer_foreign_keys = ON");
        std::optional<KeptStepAside> aside;
        if (entry->brought_in) {
            aside.emplace(log);
            change.brings_in();
        }
        for (const ChangeRow& row : in_order_of_undoing(entry->rows)) {
            backwards.apply(row);
            if (aside && row.kind == "insert") {
                aside->forget(row.record_id);
            }
        }
        if (aside) {
            aside->put_back();
        }
        change.takes_back(change_id);
        change.commit();
    } catch (const StoreError& failed) {
        if (failed.kind() != StoreError::Kind::rule) {
            throw;
        }
        return refused("undo.needed", *entry, "A later record stands on what this would take away.",
                       "Take the later steps back first.");
    }
    return Done{};
}

}  // namespace tonebath::store
