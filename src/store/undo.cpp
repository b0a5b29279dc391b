#include "store/change.hpp"

#include "base/text.hpp"
#include "model/nouns.hpp"
#include "store/brought_in.hpp"
#include "store/errors.hpp"
#include "store/query.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

namespace tonebath::store {
namespace {

using Json = nlohmann::ordered_json;

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
    Query query(log, "SELECT id, coalesce(undoes, '') FROM change WHERE at_utc_ms >= ?1 AND (undoes IS NOT NULL OR EXISTS (SELECT 1 FROM "
                     "change_row WHERE change_seq = seq)) ORDER BY seq",
                {since.utc_ms});  // what touched no record is no step
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
    return Refusal{.code = std::move(code),
                   .field = "undo",
                   .value = entry.step,
                   .message = std::move(message),
                   .remedy = std::move(remedy),
                   .answers = {}};
}

Bound bound_of(const Json& value) {
    if (value.is_string()) {
        return value.get<std::string>();
    }
    if (value.is_number_float()) {
        return value.get<double>();
    }
    if (value.is_number_integer()) {
        return value.get<std::int64_t>();
    }
    return nullptr;
}

bool same(const Bound& a, const Bound& b) {
    const auto* whole = std::get_if<std::int64_t>(&a);
    const auto* real = std::get_if<double>(&b);
    return whole != nullptr && real != nullptr ? static_cast<double>(*whole) == *real : a == b;
}

// Takes the rows of one change back, within an open Change.
class Backwards {
public:
    explicit Backwards(Log& log) : log_(log) {}

    // What stands otherwise than the change left it: a refusal's message, or nothing.
    std::optional<std::string> changed_since(const ChangeRow& row) {
        const std::optional<std::map<std::string, Bound>> now = read(row.table, row.record_id);
        if (row.kind == "delete") {
            return now ? std::optional<std::string>(fmt::format("The {} is there again.", noun_word(row.table)))
                       : std::nullopt;
        }
        if (!now) {
            return fmt::format("The {} is no longer there.", noun_word(row.table));
        }
        const Json after = Json::parse(row.after_json);
        for (const auto& [column, value] : *now) {
            const bool named = after.contains(column);
            if (!named && row.kind == "update") {
                continue;  // this change left the column alone
            }
            if (!same(bound_of(named ? after.at(column) : Json()), value)) {
                return fmt::format("The {} of this {} was changed after it.", label_of(column), noun_word(row.table));
            }
        }
        return std::nullopt;
    }

    void apply(const ChangeRow& row) {
        if (row.kind == "insert") {
            run(log_, fmt::format("DELETE FROM \"{}\" WHERE id = ?1", row.table), {row.record_id});
            return;
        }
        const Json before = Json::parse(row.before_json);
        const std::set<std::string>& names = columns_of(row.table);
        std::vector<std::string> columns;
        std::vector<Bound> values;
        for (const auto& [column, value] : before.items()) {
            if (names.contains(column)) {
                columns.push_back(fmt::format("\"{}\"", column));
                values.push_back(bound_of(value));
            }
        }
        std::vector<std::string> places;
        for (std::size_t i = 0; i < columns.size(); ++i) {
            places.push_back(row.kind == "update" ? fmt::format("{} = ?{}", columns[i], i + 1)
                                                  : fmt::format("?{}", i + 1));
        }
        if (row.kind == "update") {
            values.emplace_back(row.record_id);
            run(log_,
                fmt::format("UPDATE \"{}\" SET {} WHERE id = ?{}", row.table, joined(places, ", "), values.size()),
                values);
        } else {
            run(log_,
                fmt::format("INSERT INTO \"{}\" ({}) VALUES ({})", row.table, joined(columns, ", "),
                            joined(places, ", ")),
                values);
        }
    }

private:
    static std::string label_of(std::string column) {
        for (const std::string_view ending : {"_utc_ms", "_offset_min", "_id"}) {
            if (column.size() > ending.size() && column.ends_with(ending)) {
                column.resize(column.size() - ending.size());
            }
        }
        std::replace(column.begin(), column.end(), '_', ' ');
        return column;
    }

    const std::set<std::string>& columns_of(const std::string& table) {
        std::set<std::string>& names = columns_[table];
        if (names.empty()) {
            Query query(log_, "SELECT name FROM pragma_table_info(?1)", {table});
            while (query.next()) {
                names.insert(query.text(0));
            }
        }
        return names;
    }

    std::optional<std::map<std::string, Bound>> read(const std::string& table, const std::string& record_id) {
        const std::set<std::string>& names = columns_of(table);
        const std::vector<std::string> order(names.begin(), names.end());
        Query query(log_, fmt::format("SELECT \"{}\" FROM \"{}\" WHERE id = ?1", joined(order, "\", \""), table),
                    {record_id});
        if (!query.next()) {
            return std::nullopt;
        }
        std::map<std::string, Bound> record;
        for (std::size_t i = 0; i < order.size(); ++i) {
            const SQLite::Column column = query.statement().getColumn(static_cast<int>(i));
            Bound& value = record[order[i]];
            if (column.isInteger()) {
                value = column.getInt64();
            } else if (column.isFloat()) {
                value = column.getDouble();
            } else if (column.isText()) {
                value = column.getString();
            } else {
                value = nullptr;
            }
        }
        return record;
    }

    Log& log_;
    std::map<std::string, std::set<std::string>> columns_;
};

bool is_noun_table(std::string_view table) {
    bool found = false;
    for_each_noun([&found, table]<class Noun>(const Noun&) { found = found || Noun::kTable == table; });
    return found;
}

// Changes of records first, so that a number that was handed on is free again before its record comes back.
std::vector<ChangeRow> in_order_of_undoing(std::vector<ChangeRow> rows) {
    const auto rank = [](const ChangeRow& row) { return row.kind == "insert" ? 0 : row.kind == "update" ? 1 : 2; };
    std::stable_sort(rows.begin(), rows.end(),
                     [&rank](const ChangeRow& a, const ChangeRow& b) { return rank(a) < rank(b); });
    return rows;
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
