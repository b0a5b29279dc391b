// Looking after the log: is it sound, what was changed, copies and the way back.
#pragma once

#include "app/records.hpp"
#include "base/result.hpp"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// What integrity_check and foreign_key_check find; empty = sound.
[[nodiscard]] std::vector<std::string> log_faults(Studio& studio);
// The change log, newest first: seq, at, who, step, table, record, before, after; one row a record touched.
[[nodiscard]] RecordTable log_changes(Studio& studio, std::size_t limit, const std::string& record_id = {});
// Copies the log into its folder of dated backups. Refusal "log.trouble".
[[nodiscard]] Result<std::filesystem::path> back_up(Studio& studio);
// file, last change, baths, strips, pieces, dips of each backup, newest first; a copy that cannot be read says why.
[[nodiscard]] RecordTable backup_list(const std::filesystem::path& log_file);
// Puts a backup in the place of the log; the log that stood there is kept under another name, which is returned.
[[nodiscard]] Result<std::string> restore_backup(const std::filesystem::path& log_file, const std::filesystem::path& backup);


// True when the newest dated backup is a day old, or there is none. A log in memory has none and needs none.
[[nodiscard]] bool backup_due(Studio& studio);

// A backup put in place aside and compared with the log, table by table.
struct Rehearsed {
    bool sound = false;     // it opens whole, and changes since then tell of every row that differs
    std::string said;
    std::filesystem::path file;
    RecordTable tables;     // table, in_backup, in_log, equal, changed_since, unexplained
    std::vector<std::string> faults;
};
// `file` empty: the newest dated backup. Refusals "backup.none", as restore_backup; "rehearsal.given_up".
[[nodiscard]] Result<Rehearsed> rehearse_restore(Studio& studio, const std::filesystem::path& file,
                                                 const std::function<bool(std::int64_t done, std::int64_t all)>& goes_on = {});

}  // namespace tonebath::app
