// The schema's history: numbered steps, each run once on every log, in order.
#pragma once

#include <span>
#include <string_view>

namespace SQLite {
class Database;
}

namespace tonebath::store {

struct Migration {
    int version;            // PRAGMA user_version after it
    std::string_view file;  // "0001_first.sql"
    std::string_view sql;
};

// All of them, version 1 first, without gaps.
[[nodiscard]] std::span<const Migration> migrations();

// Runs every step newer than the database, each in its own transaction with foreign keys off (SQLite documentation,
// ALTER TABLE, section 7), checked by foreign_key_check before it is committed. Throws StoreError; the step that failed
// leaves no trace. Returns the version found before.
int upgrade(SQLite::Database& database, std::span<const Migration> steps);

// PRAGMA user_version as it stands.
[[nodiscard]] int version_of(SQLite::Database& database);

}  // namespace tonebath::store
