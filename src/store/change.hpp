// Every write is one Change: one transaction together with its row in the change log, which keeps who, when and, for
// every record touched, what stood before and after. Undo applies a change backwards and is itself a change.
#pragma once

#include "store/log.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace tonebath::store {

// Scope of one write. BEGIN IMMEDIATE at construction; commit() writes the change-log rows and commits; without commit
// the destructor rolls back (a failure to do so is printed, never thrown).
class Change {
public:
    // `step` is what undo shows: "make up bath 46". `who` may be empty.
    Change(Log& log, std::string step, const Stamp& at, std::string who_id, IdSource& ids);
    ~Change();
    Change(const Change&) = delete;
    Change& operator=(const Change&) = delete;

    // Returns the change's id, or an empty text when nothing was changed (nothing is logged then).
    std::string commit();

private:
    struct State;
    std::unique_ptr<State> state_;
};

struct ChangeRow {
    std::string table;
    std::string record_id;
    std::string kind;         // insert, update, delete
    std::string before_json;  // changed columns before; "{}" for an insert
    std::string after_json;   // changed columns after; "{}" for a delete
};

struct ChangeEntry {
    std::string id;
    std::int64_t seq = 0;     // order of writing in this log
    Stamp at;
    std::string who_id;
    std::string step;
    std::string undoes;       // id of the change that this one takes back; empty otherwise
    std::string undone_by;    // id of the change that took this one back
    std::vector<ChangeRow> rows;
};

// Newest first. With `record_id` only changes that touched that record.
[[nodiscard]] std::vector<ChangeEntry> changes(Log& log, std::size_t limit, std::string_view record_id = {});
// The change that undo would take back now / that redo would bring back; nullopt when there is none.
// Only changes of this bench session count: `since` is the first moment of it.
[[nodiscard]] std::optional<ChangeEntry> next_undo(Log& log, const Stamp& since);
[[nodiscard]] std::optional<ChangeEntry> next_redo(Log& log, const Stamp& since);
// Takes a change back (or, given an undo, brings it forward again) as a new change. Refusals: "undo.kept_record" (checks,
// answers, disposals and presses are never removed), "undo.changed_since" (another program changed the same field).
[[nodiscard]] Result<Done> take_back(Log& log, const std::string& change_id, const Stamp& at, std::string who_id, IdSource& ids);

}  // namespace tonebath::store
