// The log: one SQLite file that holds everything the studio wrote down.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"
#include "base/result.hpp"

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

struct sqlite3;
namespace SQLite {
class Database;
class Statement;
}  // namespace SQLite

namespace tonebath::store {

// The world broke while reading or writing the log: disk full, file vanished, another program holds it.
class StoreError : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

// How a log is opened. `create` makes a new, empty log where there is none.
enum class OpenMode { read_only, read_write, create };

// What opening found out. A log that needs an older or newer program is refused, never changed.
struct OpenReport {
    bool created = false;
    int upgraded_from = 0;                             // schema version before, 0 = none
    std::optional<std::filesystem::path> copy_before;  // the copy made before upgrading
};

// "tonb" in ASCII: PRAGMA application_id of every log.
inline constexpr int kApplicationId = 0x746F6E62;
// PRAGMA user_version of the newest schema this program writes.
[[nodiscard]] int schema_version();

class Change;

// A connection to one log. It belongs to one thread.
class Log {
public:
    // Refusals: "log.missing", "log.not_ours", "log.newer", "log.damaged" (with the way back from the newest good
    // backup), "log.unwritable". Opening verifies application_id, WAL, synchronous=FULL, foreign keys, quick_check.
    [[nodiscard]] static Result<std::unique_ptr<Log>> open(const std::filesystem::path& file, OpenMode mode);
    // An empty log in memory: for tests.
    [[nodiscard]] static std::unique_ptr<Log> in_memory();
    ~Log();
    Log(const Log&) = delete;
    Log& operator=(const Log&) = delete;

    [[nodiscard]] const std::filesystem::path& file() const { return file_; }
    [[nodiscard]] bool read_only() const { return mode_ == OpenMode::read_only; }
    [[nodiscard]] const OpenReport& opening() const { return report_; }
    [[nodiscard]] SQLite::Database& database() { return *database_; }
    // A prepared statement for this text, kept for the next call; it comes reset and unbound.
    [[nodiscard]] SQLite::Statement& statement(const std::string& sql);

    // Rises with every commit seen by this connection, its own and other programs' (PRAGMA data_version).
    [[nodiscard]] std::int64_t generation();

    // Full integrity_check and foreign_key_check; empty = sound.
    [[nodiscard]] std::vector<std::string> faults();

    // Log-wide facts: as-of time of the demo, studio name, who is at the bench …
    [[nodiscard]] std::optional<std::string> setting(std::string_view key);
    void set_setting(std::string_view key, std::string_view value);

private:
    friend class Change;
    Log(std::filesystem::path file, OpenMode mode, std::unique_ptr<SQLite::Database> database);
    std::filesystem::path file_;
    OpenMode mode_;
    OpenReport report_;
    std::unique_ptr<SQLite::Database> database_;
    struct Statements;
    std::unique_ptr<Statements> statements_;
};

}  // namespace tonebath::store
