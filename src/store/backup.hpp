// Copies of the log: dated ones beside it, and the way back from them.
#pragma once

#include "store/log.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::store {

// How many dated backups are kept.
inline constexpr std::size_t kBackupsKept = 10;

// "backups", beside the log.
[[nodiscard]] std::filesystem::path backup_folder(const std::filesystem::path& log_file);
// "log-2026-03-31T0942.tonebath" for a copy made then. Names sort as their moments do.
[[nodiscard]] std::string backup_name(const std::filesystem::path& log_file, const Stamp& at);
// Dated backups of this log, newest first: backups/log-2026-03-31T0942.tonebath for log.tonebath.
[[nodiscard]] std::vector<std::filesystem::path> backups(const std::filesystem::path& log_file);

// What a backup holds, for the person who must choose one.
struct BackupContents {
    int version = 0;                   // of the schema
    std::optional<Stamp> last_change;  // newest change in it
    std::int64_t baths = 0, pieces = 0, strips = 0, dips = 0;
};
// Opens the copy and runs quick_check without changing it. Refusals as Log::open.
[[nodiscard]] Result<BackupContents> restore_check(const std::filesystem::path& copy);

// Copies the log as it stands into the backup folder (other programs may write meanwhile), opens the copy, checks it,
// and only then gives it its name; a copy of the same minute is replaced. Keeps the last kBackupsKept dated ones.
// Throws StoreError; the earlier backups are then all still there.
std::filesystem::path make_backup(Log& log, const Stamp& at);

// The newest dated backup that passes restore_check.
[[nodiscard]] std::optional<std::filesystem::path> newest_good_backup(const std::filesystem::path& log_file);

// Puts a copy of `backup` where the log was. What stood there is kept beside it under another name, which is returned
// (nothing when no file stood there). No program may have the log open. Refusals as restore_check.
[[nodiscard]] Result<std::optional<std::filesystem::path>> restore(const std::filesystem::path& log_file,
                                                                   const std::filesystem::path& backup);

// The copy made before a schema upgrade: backups/log-before-form-2.tonebath. Never overwritten, never thinned out.
std::filesystem::path copy_before_upgrade(SQLite::Database& database, const std::filesystem::path& log_file,
                                          int version);

}  // namespace tonebath::store
