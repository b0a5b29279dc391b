#include "store/beside.hpp"
#include "store/errors.hpp"
#include "store/join.hpp"
#include "store/migrate.hpp"
#include "store/opening.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include <system_error>

namespace tonebath::store {
namespace {

namespace fs = std::filesystem;

Refusal refused(std::string code, const fs::path& file, std::string message, std::string remedy) {
    return Refusal{.code = std::move(code), .field = "other log", .value = file.string(), .message = std::move(message), .remedy = std::move(remedy), .answers = {}};
}

// Reading alone, so that nothing is tidied away on closing: with a journal beside it the last one out would write it into the
// file. Without a journal no file is made beside it either.
void copy_as_it_stands(const fs::path& from, const fs::path& to) {
    const bool journal = fs::exists(beside(from, "-wal"));
    const std::unique_ptr<SQLite::Database> source =
        journal ? std::make_unique<SQLite::Database>(from.string(), SQLite::OPEN_READONLY, kBusyTimeoutMs) : open_immutable(from);
    copy_pages(*source, to);
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
        copy_as_it_stands(from, to);
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
    std::unique_ptr<OtherLog> other(new OtherLog());
    other->file_ = file;
    other->aside_ = std::make_unique<Aside>();
    const fs::path copy = other->aside_->log();
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

OtherLog::~OtherLog() = default;

}  // namespace tonebath::store
