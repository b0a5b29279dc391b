// Every write is one Change: one transaction together with its row in the change log, which keeps who, when and, for
// every record touched, what stood before and after. Undo applies a change backwards and is itself a change.
#pragma once

#include "store/log.hpp"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::store {

// Scope of one write. BEGIN IMMEDIATE at construction; commit() writes the change-log rows and commits; without commit
// the destructor rolls back (a failure to do so is printed, never thrown). One at a time on a connection (TB_CHECK).
// Construction waits up to 5 s for another program's write, then throws StoreError::Kind::busy; on a log opened for
// reading it throws StoreError::Kind::read_only. After a StoreError inside the scope leave it: it rolls back.
class Change {
public:
    // `step` is what undo shows: "make up bath 46". `who` may be empty.
    Change(Log& log, std::string step, const Stamp& at, std::string who_id, IdSource& ids);
    ~Change();
    Change(const Change&) = delete;
    Change& operator=(const Change&) = delete;

    // Says that this change takes `change_id` back in its own way: for records that are withdrawn, never removed. Undo
    // then goes on with the change before it; redo does not offer it.
    void takes_back(std::string change_id);

    // Writes the change down even when no record was touched: a step that only says something, such as who is at the
    // bench. Undo passes it over.
    void stands_alone();

    // Says that its records were made in another log and come in with it. Taking it back takes all of them out again, checks
    // and presses too: they stay in the log they came from, and in the change log here.
    void brings_in();

    // Returns the change's id, or an empty text when nothing was changed (nothing is logged then). What was written to
    // `setting` in the scope is committed in both cases.
    std::string commit();

private:
    struct State;
    std::unique_ptr<State> state_;
};

// One record in one change: the net of all that the change did to it. Columns are named as stored.
struct ChangeRow {
    std::string table;
    std::string record_id;
    std::string kind;         // insert, update, delete
    std::string before_json;  // update: the changed columns before; delete: all that were known; insert: "{}"
    std::string after_json;   // update: the changed columns after; insert: all that are known; delete: "{}"
};

struct ChangeEntry {
    std::string id;
    std::int64_t seq = 0;  // order of writing in this log
    Stamp at;
    std::string who_id;
    std::string step;
    std::string undoes;         // id of the change that this one takes back; empty otherwise
    std::string undone_by;      // id of the change that took this one back and still stands
    bool touches_kept = false;  // wrote checks, answers, disposals or presses: withdraw instead of taking back
    bool brought_in = false;    // brought records of another log in, or took such a change back: taken back whole
    std::vector<ChangeRow> rows;
};

// Newest first. With `record_id` only changes that touched that record.
[[nodiscard]] std::vector<ChangeEntry> changes(Log& log, std::size_t limit, std::string_view record_id = {});
[[nodiscard]] std::optional<ChangeEntry> change_of_id(Log& log, const std::string& change_id);

// The change that undo would take back now / the undo that redo would bring forward; nullopt when there is none.
// Only changes of this bench session count: `since` is the first moment of it. A change with touches_kept is given too:
// take_back refuses it unless it is brought_in, so the caller withdraws in a Change of its own that `takes_back` it.
[[nodiscard]] std::optional<ChangeEntry> next_undo(Log& log, const Stamp& since);
[[nodiscard]] std::optional<ChangeEntry> next_redo(Log& log, const Stamp& since);

// Takes a change back (or, given an undo, brings it forward again) as a new change. Refusals: "undo.missing",
// "undo.already" (it was taken back before), "undo.kept_record" (checks, answers, disposals and presses are never
// removed), "undo.changed_since" (the same field was changed after it), "undo.needed" (a later record refers to what
// would go).
[[nodiscard]] Result<Done> take_back(Log& log, const std::string& change_id, const Stamp& at, std::string who_id,
                                     IdSource& ids);

}  // namespace tonebath::store
