#include "store/errors.hpp"
#include "store/join.hpp"
#include "store/migrate.hpp"
#include "store/opening.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include <cstdlib>
#include <system_error>

namespace tonebath::store {
namespace {

namespace fs = std::filesystem;

Refusal refused(std::string code, const fs::path& file, std::string message, std::string remedy) {
    return Refusal{.code = std::move(code), .field = "other log", .value = file.string(), .message = std::move(message), .remedy = std::move(remedy), .answers = {}};
}

fs::path beside(const fs::path& file, const char* ending) {
    fs::path other = file;
    other += ending;
    return other;
}

// Reading alone, so that nothing is tidied away on closing: with a journal beside it the last one out would write it into the
// file. Without a journal no file is made beside it either.
void copy_pages(const fs::path& from, const fs::path& to) {
    const bool journal = fs::exists(beside(from, "-wal"));
    const std::unique_ptr<SQLite::Database> source =
        journal ? std::make_unique<SQLite::Database>(from.string(), SQLite::OPEN_READONLY, kBusyTimeoutMs) : open_immutable(from);
    SQLite::Database target(to.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    sqlite3_backup* backup = sqlite3_backup_init(target.getHandle(), "main", source->getHandle(), "main");
    if (backup == nullptr) {
        throw SQLite::Exception(target.getHandle());
    }
    int step = SQLITE_OK;
    do {
        step = sqlite3_backup_step(backup, -1);
        if (step == SQLITE_BUSY || step == SQLITE_LOCKED) {
            sqlite3_sleep(50);
        }
    } while (step == SQLITE_BUSY || step == SQLITE_LOCKED);
    const int ended = sqlite3_backup_finish(backup);
    if (step != SQLITE_DONE || ended != SQLITE_OK) {
        throw SQLite::Exception(target.getHandle(), step != SQLITE_DONE ? step : ended);
    }
}

// From a stick that can only be read a journal cannot be opened where it is.
void copy_files(const fs::path& from, const fs::path& to) {
    fs::copy_file(from, to, fs::copy_options::overwrite_existing);
    if (fs::exists(beside(from, "-wal"))) {
        fs::copy_file(beside(from, "-wal"), beside(to, "-wal"), fs::copy_options::overwrite_existing);
    }
}

void copy_aside(const fs::path& from, const fs::path& to) {
    try {
        copy_pages(from, to);
    } catch (const SQLite::Exception& failed) {
        if (failed.getErrorCode() != SQLITE_CANTOPEN && failed.getErrorCode() != SQLITE_READONLY) {
            throw;
        }
        copy_files(from, to);
    }
}

}  // namespace

Result<std::unique_ptr<OtherLog>> OtherLog::open(const fs::path& file) {
    std::error_code failed;
    if (!fs::exists(file, failed)) {
        return refused("log.missing", file, "there is no log of this name.", "Check the name and where the other bench's log was copied to.");
    }
    const FileHeader header = fs::is_regular_file(file, failed) ? read_header(file) : FileHeader{};
    if (!header.is_sqlite || header.application_id != kApplicationId) {
        return refused("log.not_ours", file, "this is not a log.", "Name the other bench's log; it ends in .tonebath.");
    }
    std::string folder = (fs::temp_directory_path() / "tonebath-other-XXXXXX").string();
    if (mkdtemp(folder.data()) == nullptr) {
        throw StoreError("There is no room for a copy of the other log. Nothing was written.", StoreError::Kind::disk_failed);
    }
    std::unique_ptr<OtherLog> other(new OtherLog());
    other->file_ = file;
    other->folder_ = folder;
    const fs::path copy = other->folder_ / "log.tonebath";
    try {
        copy_aside(file, copy);
        const std::unique_ptr<SQLite::Database> looked_at = open_immutable(copy);
        other->form_ = version_of(*looked_at);
    } catch (const SQLite::Exception& problem) {
        if (problem.getErrorCode() == SQLITE_CORRUPT || problem.getErrorCode() == SQLITE_NOTADB) {
            return refused("log.damaged", file, fmt::format("the file is damaged ({}).", problem.what()), "Take an earlier backup of that bench's log.");
        }
        rethrow_as_store_error(file);
    } catch (const fs::filesystem_error& problem) {
        throw StoreError(fmt::format("The other log {} could not be copied: {}. Nothing was written.", file.string(), problem.code().message()),
                         StoreError::Kind::disk_failed);
    }
    if (other->form_ > schema_version()) {
        return refused("log.newer", file, fmt::format("that log was written by a newer version of this program (form {}, known here: up to {}).", other->form_, schema_version()),
                       "Bring this program up to date first, then join.");
    }
    Result<std::unique_ptr<Log>> opened = Log::open(copy, OpenMode::read_write);
    if (!opened) {
        Refusal no = opened.error();
        no.field = "other log";
        no.value = file.string();
        no.remedy = "Take an earlier backup of that bench's log.";
        return no;
    }
    other->log_ = std::move(opened).value();
    return other;
}

OtherLog::~OtherLog() {
    log_.reset();
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
}

}  // namespace tonebath::store
