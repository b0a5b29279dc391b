#include "store/opening.hpp"

#include "store/backup.hpp"
#include "store/beside.hpp"
#include "store/errors.hpp"
#include "store/log.hpp"
#include "store/migrate.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <unistd.h>

#include <array>
#include <cstdint>
#include <system_error>

namespace tonebath::store {
namespace {

namespace fs = std::filesystem;

Refusal refused(std::string code, const fs::path& file, std::string message, std::string remedy) {
    return Refusal{.code = std::move(code),
                   .field = "log",
                   .value = file.string(),
                   .message = std::move(message),
                   .remedy = std::move(remedy),
                   .answers = {}};
}

// Ours. A log above this takes most of a second and more to check from end to end. Who only reads it is then told of damage
// in what is read, when it is read; who writes is told of all at opening.
constexpr std::uintmax_t kCheckedAtReading_bytes = 64U << 20U;

std::string way_back(const fs::path& file) {
    const std::optional<fs::path> backup = newest_good_backup(file);
    if (!backup) {
        return "There is no good backup beside it. Keep the file, and put a copy from elsewhere in its place.";
    }
    return fmt::format(
        "The newest good backup is {}. Keep the damaged file under another name and put a copy of the backup "
        "in its place.",
        backup->string());
}

Refusal damaged(const fs::path& file, const std::string& fault) {
    return refused("log.damaged", file, fmt::format("The file is damaged ({}). It was not changed.", fault),
                   way_back(file));
}

Refusal unwritable(const fs::path& file, const std::string& why) {
    return refused("log.unwritable", file, fmt::format("The log cannot be written here ({}).", why),
                   "Check who may write to the folder, or name another place with --log.");
}

// Looked at before SQLite touches the file, so that a file of another kind stays exactly as it is.
std::optional<Refusal> wrong_kind(const fs::path& file) {
    if (!fs::is_regular_file(file)) {
        return refused("log.not_ours", file, "This is a folder or a device, not a log.", "Name a log file.");
    }
    const FileHeader header = read_header(file);
    if (header.is_sqlite && header.application_id == kApplicationId) {
        return std::nullopt;
    }
    // A log that was overwritten or emptied has backups beside it; any other file has none.
    if (newest_good_backup(file)) {
        return damaged(file, header.size == 0 ? "it is empty" : "it does not begin as a log does");
    }
    if (header.size == 0) {
        return refused("log.not_ours", file, "The file is empty, so it is not a log.",
                       "Name another file, or remove this one and make a new log.");
    }
    return refused("log.not_ours", file,
                   header.is_sqlite ? "The file belongs to another program." : "The file is not a Tonebath log.",
                   "It was not changed. Name another file.");
}

void must_read_back(SQLite::Database& database, const std::string& pragma, const std::string& wanted) {
    const std::string found = database.execAndGet("PRAGMA " + pragma).getString();
    if (found != wanted) {
        throw StoreError(
            fmt::format("The log cannot be kept as it must be here: {} is {}, not {}.", pragma, found, wanted));
    }
}

void set_up(SQLite::Database& database) {
    database.setBusyTimeout(kBusyTimeoutMs);
    database.exec("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON");
    must_read_back(database, "synchronous", "2");
    must_read_back(database, "foreign_keys", "1");
}

bool switch_to_wal(SQLite::Database& database) {
    return database.execAndGet("PRAGMA journal_mode = WAL").getString() == "wal";
}

// The new log is made whole under another name and then given its own, so that no half-made log is ever found.
std::optional<Refusal> make_empty_log(const fs::path& file) {
    std::error_code failed;
    if (file.has_parent_path()) {
        fs::create_directories(file.parent_path(), failed);
        if (failed) {
            return unwritable(file, failed.message());
        }
    }
    const fs::path made = half_made(file);
    fs::remove(made, failed);
    try {
        SQLite::Database database(made.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        set_up(database);
        upgrade(database, migrations());
        if (!switch_to_wal(database)) {
            fs::remove(made, failed);
            return unwritable(file, "the file system has no shared memory for it");
        }
    } catch (const SQLite::Exception& failure) {
        fs::remove(made, failed);
        if (failure.getErrorCode() == SQLITE_CANTOPEN || failure.getErrorCode() == SQLITE_READONLY) {
            return unwritable(file, failure.what());
        }
        throw;
    }
    // A log that another program made meanwhile is kept and opened.
    if (renameat2(AT_FDCWD, made.c_str(), AT_FDCWD, file.c_str(), RENAME_NOREPLACE) != 0) {
        const std::error_code reason(errno, std::generic_category());
        fs::remove(made, failed);
        if (reason != std::errc::file_exists) {
            return unwritable(file, reason.message());
        }
    }
    sync_path(file.parent_path());
    return std::nullopt;
}

bool folder_is_read_only(const fs::path& file) {
    const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
    return access(folder.c_str(), W_OK) != 0;
}

// Reading alone goes through a connection that could write but is told not to (query_only): one opened READONLY would
// leave its shared-memory file behind.
std::unique_ptr<SQLite::Database> connect(const fs::path& file, OpenMode mode) {
    const bool reads = mode == OpenMode::read_only;
    if (reads && folder_is_read_only(file) && !fs::exists(beside(file, "-wal"))) {
        return open_immutable(file);
    }
    // A connection belongs to one thread: no lock for each column read.
    auto database = std::make_unique<SQLite::Database>(file.string(), SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, kBusyTimeoutMs);
    set_up(*database);
    if (reads) {
        database->exec("PRAGMA query_only = ON");
        must_read_back(*database, "query_only", "1");
    }
    return database;
}

}  // namespace

FileHeader read_header(const fs::path& file) {
    FileHeader header;
    std::error_code failed;
    header.size = fs::file_size(file, failed);
    std::array<char, 100> bytes{};
    // Read through SQLite's own file layer. Closing any other descriptor of a log would drop the locks that this process
    // holds on it (POSIX fcntl), and a command ending beside the window would then remove the window's journal.
    sqlite3* opened = nullptr;
    sqlite3_file* in = nullptr;
    const bool read = sqlite3_open_v2(file.c_str(), &opened, SQLITE_OPEN_READONLY, nullptr) == SQLITE_OK &&
                      sqlite3_file_control(opened, "main", SQLITE_FCNTL_FILE_POINTER, &in) == SQLITE_OK &&
                      in->pMethods != nullptr &&
                      in->pMethods->xRead(in, bytes.data(), static_cast<int>(bytes.size()), 0) == SQLITE_OK;
    sqlite3_close(opened);
    if (!read) {
        return header;
    }
    header.is_sqlite = std::string_view(bytes.data(), 16) == std::string_view("SQLite format 3\0", 16);
    std::uint32_t id = 0;  // big-endian
    for (std::size_t i = 68; i < 72; ++i) {
        id = id * 256U + static_cast<unsigned char>(bytes[i]);
    }
    header.application_id = static_cast<int>(id);
    return header;
}

void sync_path(const fs::path& path) {
    const int opened = ::open(path.empty() ? "." : path.c_str(), O_RDONLY | O_CLOEXEC);
    if (opened >= 0) {
        fsync(opened);
        close(opened);
    }
}

std::unique_ptr<SQLite::Database> open_immutable(const fs::path& file) {
    std::string uri = "file:";
    for (const char c : fs::absolute(file).string()) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '/' ||
                           c == '.' || c == '-' || c == '_';
        uri += plain ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned>(static_cast<unsigned char>(c)));
    }
    return std::make_unique<SQLite::Database>(uri + "?immutable=1", SQLite::OPEN_READONLY | SQLite::OPEN_URI);
}

std::optional<std::string> first_fault(SQLite::Database& database) {
    try {
        const std::string answer = database.execAndGet("PRAGMA quick_check(1)").getString();
        return answer == "ok" ? std::nullopt : std::optional<std::string>(answer);
    } catch (const SQLite::Exception& failed) {
        if (failed.getErrorCode() == SQLITE_CORRUPT || failed.getErrorCode() == SQLITE_NOTADB) {
            return failed.what();
        }
        throw;
    }
}

Result<std::unique_ptr<Log>> Log::open(const fs::path& file, OpenMode mode) {
    OpenReport report;
    if (!fs::exists(file)) {
        if (mode != OpenMode::create) {
            return refused("log.missing", file, "There is no log of this name.",
                           "Check the name, or make a new log there.");
        }
        if (std::optional<Refusal> no = translated(file, [&] { return make_empty_log(file); })) {
            return *no;
        }
        report.created = true;
    }
    if (std::optional<Refusal> no = wrong_kind(file)) {
        return *no;
    }
    try {
        std::unique_ptr<SQLite::Database> database = connect(file, mode);
        if (mode != OpenMode::read_only || fs::file_size(file) <= kCheckedAtReading_bytes) {
            if (std::optional<std::string> fault = first_fault(*database)) {
                return damaged(file, *fault);
            }
        }
        const int version = version_of(*database);
        if (version > schema_version()) {
            return refused(
                "log.newer", file,
                fmt::format("The log was written by a newer version of this program (form {}, known here: up to "
                            "{}). It was not changed.",
                            version, schema_version()),
                "Open it with the newer version.");
        }
        if (version < schema_version() && mode == OpenMode::read_only) {
            return refused("log.older", file, "The log was written by an older version and can only be read here.",
                           "Open it once for writing: it is copied first and then brought up to date.");
        }
        if (mode != OpenMode::read_only) {
            if (sqlite3_db_readonly(database->getHandle(), "main") != 0) {
                return unwritable(file, "the file can only be read");
            }
            if (!switch_to_wal(*database)) {
                return unwritable(file, "the file system has no shared memory for it");
            }
            sweep_half_made(file.parent_path(), file.filename().string());
            sweep_half_made(backup_folder(file), file.stem().string() + "-");
            if (version < schema_version()) {
                report.copy_before = copy_before_upgrade(*database, file, version);
                report.upgraded_from = upgrade(*database, migrations());
            }
        }
        std::unique_ptr<Log> log(new Log(file, mode, std::move(database)));
        log->report_ = std::move(report);
        return log;
    } catch (const SQLite::Exception& failed) {
        if (failed.getErrorCode() == SQLITE_CORRUPT || failed.getErrorCode() == SQLITE_NOTADB) {
            return damaged(file, failed.what());
        }
        if (failed.getErrorCode() == SQLITE_CANTOPEN || failed.getErrorCode() == SQLITE_READONLY) {
            return unwritable(file, failed.what());
        }
        rethrow_as_store_error(file);
    }
}

std::unique_ptr<Log> Log::in_memory() {
    const fs::path name = ":memory:";
    return translated(name, [&] {
        auto database = std::make_unique<SQLite::Database>(name.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        set_up(*database);
        upgrade(*database, migrations());
        return std::unique_ptr<Log>(new Log(name, OpenMode::create, std::move(database)));
    });
}

}  // namespace tonebath::store
