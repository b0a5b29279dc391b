// The log: one SQLite file that holds everything the studio wrote down.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"
#include "base/result.hpp"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace SQLite {
class Database;
class Statement;
}  // namespace SQLite

namespace tonebath::store {

// The world broke while reading or writing the log: disk full, file vanished, another program holds it. what() says
// what happened, to which file, what became of the records, and the way out.
class StoreError : public std::runtime_error {
public:
    // busy: another program wrote for 5 s. rule: the tables do not take the record (a number twice, a missing
    // reference).
    enum class Kind { other, busy, disk_full, disk_failed, read_only, damaged, rule };

    StoreError(const std::string& words, Kind kind = Kind::other) : std::runtime_error(words), kind_(kind) {}
    [[nodiscard]] Kind kind() const { return kind_; }

private:
    Kind kind_;
};

// How a log is opened. `create` makes a new, empty log where there is none, and is read_write where there is one.
enum class OpenMode { read_only, read_write, create };

// What opening found out. A log that needs a newer program is refused, never changed.
struct OpenReport {
    bool created = false;
    int upgraded_from = 0;                             // schema version before upgrading, 0 = was up to date
    std::optional<std::filesystem::path> copy_before;  // the copy made before upgrading
};

// "tonb" in ASCII: PRAGMA application_id of every log.
inline constexpr int kApplicationId = 0x746F6E62;
// How long a writer waits for another program's write to end.
inline constexpr int kBusyTimeoutMs = 5000;
// PRAGMA user_version of the newest schema this program writes.
[[nodiscard]] int schema_version();

class Change;

// A connection to one log. It belongs to one thread.
class Log {
public:
    // Refusals: "log.missing", "log.not_ours", "log.newer", "log.older" (read_only cannot upgrade), "log.damaged" (with
    // the way back from the newest good backup), "log.unwritable". Opening verifies application_id, WAL,
    // synchronous=FULL, foreign keys, quick_check. A refused file is left as it was, byte for byte. Throws StoreError
    // when the disk fails.
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
    // True while a Change is open on this connection.
    [[nodiscard]] bool writing() const { return writing_; }

    // Rises with every commit seen by this connection, its own and other programs' (PRAGMA data_version).
    [[nodiscard]] std::int64_t generation();

    // Full integrity_check and foreign_key_check; empty = sound.
    [[nodiscard]] std::vector<std::string> faults();

    // Log-wide facts: as-of time of the demo, studio name, who is at the bench … Not part of the change log and not
    // undone.
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
    bool writing_ = false;
    std::int64_t generation_ = 0;
    std::int64_t data_version_ = -1;
};

// Everything read while it lives comes from one moment of the log, whatever other programs write meanwhile. Inside a
// Change it does nothing (a Change already stands on one moment). Keep it short: no Change can begin within it.
class Snapshot {
public:
    explicit Snapshot(Log& log);
    ~Snapshot();
    Snapshot(const Snapshot&) = delete;
    Snapshot& operator=(const Snapshot&) = delete;

private:
    Log& log_;
    bool began_ = false;
};

}  // namespace tonebath::store
