#include "store/errors.hpp"

#include "store/log.hpp"

#include <SQLiteCpp/Exception.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include <string>

namespace tonebath::store {
namespace {

constexpr const char* kNothingLost = "Nothing of this step was written; what was confirmed before is there.";

StoreError error_of(const std::string& file, int code, const std::string& detail) {
    using Kind = StoreError::Kind;
    switch (code & 0xFF) {
        case SQLITE_FULL:
            return {fmt::format("The disk is full, so {} cannot grow. {} Make room and try again.", file, kNothingLost),
                    Kind::disk_full};
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return {
                fmt::format("Another program has been writing to {} for 5 seconds. {} Try again.", file, kNothingLost),
                Kind::busy};
        case SQLITE_READONLY:
            return {fmt::format("{} can only be read here. {} Check who may write to the file and its folder.", file,
                                kNothingLost),
                    Kind::read_only};
        case SQLITE_CORRUPT:
        case SQLITE_NOTADB:
            return {
                fmt::format("{} is damaged ({}). Close the program and go back to the newest backup.", file, detail),
                Kind::damaged};
        case SQLITE_IOERR:
            return {
                fmt::format("The disk failed while {} was read or written ({}). {} Check the disk, then start again.",
                            file, detail, kNothingLost),
                Kind::disk_failed};
        case SQLITE_CANTOPEN:
        case SQLITE_PERM:
        case SQLITE_AUTH:
            return {fmt::format("{} cannot be opened ({}). Check that the folder is there and who may write to it.",
                                file, detail),
                    Kind::disk_failed};
        case SQLITE_CONSTRAINT:
            return {fmt::format("The log does not take this record ({}). {}", detail, kNothingLost), Kind::rule};
        default:
            return {fmt::format("The log could not be read or written: {} ({}). {}", file, detail, kNothingLost),
                    Kind::other};
    }
}

}  // namespace

void rethrow_as_store_error(const std::filesystem::path& file) {
    try {
        throw;
    } catch (const SQLite::Exception& failed) {
        throw error_of(file.string(), failed.getErrorCode(), failed.what());
    }
}

}  // namespace tonebath::store
