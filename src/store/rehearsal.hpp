// Rehearsing a restore: a backup is put in place aside, opened as a log, and compared with the log table by table.
#pragma once

#include "store/log.hpp"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace tonebath::store {

struct RehearsedTable {
    std::string table;
    std::int64_t in_backup = 0, in_log = 0;  // rows
    std::int64_t equal = 0;                  // rows that are the same in both
    std::int64_t later = 0;                  // rows that a change made after the backup tells of
    std::int64_t unexplained = 0;            // rows that differ, and no change tells why
};

struct Rehearsal {
    std::vector<RehearsedTable> tables;
    std::vector<std::string> faults;     // of the restored log: integrity and references
    std::int64_t changes_since = 0;      // of the log since the backup
    [[nodiscard]] bool sound() const;
};

// The log is only read; what is put in place aside goes again. Refusals as restore. Throws StoreError, also when there is no
// room for it. `goes_on` is called for each table; false: Refusal "rehearsal.given_up".
[[nodiscard]] Result<Rehearsal> rehearse_restore(Log& log, const std::filesystem::path& backup, const std::function<bool(std::int64_t done, std::int64_t all)>& goes_on = {});

}  // namespace tonebath::store
