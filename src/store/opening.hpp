// Steps of opening a log that backups share.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>

namespace SQLite {
class Database;
}

namespace tonebath::store {

// What the first 100 bytes of a file say (SQLite documentation, Database File Format, section 1.3).
struct FileHeader {
    std::uintmax_t size = 0;
    bool is_sqlite = false;
    int application_id = 0;
};
[[nodiscard]] FileHeader read_header(const std::filesystem::path& file);

// Opens a file that nobody writes to, without making any file beside it (also on read-only media).
[[nodiscard]] std::unique_ptr<SQLite::Database> open_immutable(const std::filesystem::path& file);

// Sees to it that a file's content, or a folder's list of names, is on the disk.
void sync_path(const std::filesystem::path& path);

// PRAGMA quick_check: the first fault, or nothing. A file too damaged to read is a fault too.
[[nodiscard]] std::optional<std::string> first_fault(SQLite::Database& database);

}  // namespace tonebath::store
