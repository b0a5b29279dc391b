#include "store/backup.hpp"

#include "store/beside.hpp"
#include "store/errors.hpp"
#include "store/migrate.hpp"
#include "store/opening.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>

#include <algorithm>
#include <system_error>

namespace tonebath::store {
namespace {

namespace fs = std::filesystem;

constexpr const char* kEnding = ".tonebath";

std::string stem_of(const fs::path& log_file) {
    return log_file.stem().string();
}

// "log-2026-03-31T0942.tonebath" and nothing else.
bool is_dated(const std::string& name, const std::string& stem) {
    constexpr std::string_view kShape = "-dddd-dd-ddTdddd.tonebath";
    if (name.size() != stem.size() + kShape.size() || name.compare(0, stem.size(), stem) != 0) {
        return false;
    }
    for (std::size_t i = 0; i < kShape.size(); ++i) {
        const char c = name[stem.size() + i];
        if (kShape[i] == 'd' && i < 16 ? (c < '0' || c > '9') : c != kShape[i]) {
            return false;
        }
    }
    return true;
}

// Copies, checks the copy, then names it.
void copy_checked(SQLite::Database& from, const fs::path& to) {
    const fs::path partial = half_made(to);
    try {
        fs::create_directories(to.parent_path());
        fs::remove(partial);
        translated(to, [&] { copy_pages(from, partial); });
        translated(to, [&] {
            if (const std::optional<std::string> fault = first_fault(*open_immutable(partial))) {
                throw StoreError(fmt::format("The backup {} could not be read again: {}.", to.string(), *fault),
                                 StoreError::Kind::damaged);
            }
        });
        sync_path(partial);
        fs::rename(partial, to);
        sync_path(to.parent_path());
    } catch (const fs::filesystem_error& failed) {
        std::error_code ignored;
        fs::remove(partial, ignored);
        throw StoreError(fmt::format("The backup {} could not be written: {}. The log itself is as it was. Make room and try again.",
                                     to.string(), failed.code().message()),
                         failed.code() == std::errc::no_space_on_device ? StoreError::Kind::disk_full : StoreError::Kind::disk_failed);
    } catch (...) {
        std::error_code ignored;
        fs::remove(partial, ignored);
        throw;
    }
}

std::int64_t count_of(SQLite::Database& database, const char* table) {
    return database.execAndGet(fmt::format("SELECT count(*) FROM {}", table)).getInt64();
}

// What stands in the write-ahead file goes into the log, so that it stays with it. A log too damaged for that is left alone.
void write_journal_in(const fs::path& log_file) {
    if (!fs::exists(beside(log_file, "-wal"))) {
        return;
    }
    try {
        SQLite::Database database(log_file.string(), SQLite::OPEN_READWRITE, kBusyTimeoutMs);
        if (!first_fault(database)) {
            database.exec("PRAGMA wal_checkpoint(TRUNCATE)");
        }
    } catch (const SQLite::Exception&) {
        return;  // it is kept as it is, with the write-ahead file beside it
    }
}

// A second name for what stands there (a copy where the disk knows no second names), and its write-ahead file with it: beside
// the backup that would be read into it.
fs::path keep_aside(const fs::path& log_file) {
    fs::path kept;
    int number = 1;
    do {
        kept = log_file.parent_path() / fmt::format("{}-set-aside-{}{}", stem_of(log_file), number++, kEnding);
    } while (fs::exists(kept));
    std::error_code no_links;
    fs::create_hard_link(log_file, kept, no_links);
    if (no_links) {
        fs::copy_file(log_file, kept);
        sync_path(kept);
    }
    for (const char* ending : {"-wal", "-shm"}) {
        if (fs::exists(beside(log_file, ending))) {
            fs::rename(beside(log_file, ending), beside(kept, ending));
        }
    }
    sync_path(kept.parent_path());
    return kept;
}

Refusal refused(std::string code, const fs::path& copy, std::string message) {
    return Refusal{.code = std::move(code),
                   .field = "backup",
                   .value = copy.string(),
                   .message = std::move(message),
                   .remedy = "Take an earlier backup.",
                   .answers = {}};
}

}  // namespace

fs::path backup_folder(const fs::path& log_file) {
    return log_file.parent_path() / "backups";
}

std::string backup_name(const fs::path& log_file, const Stamp& at) {
    const CivilTime time = civil(at);
    return fmt::format("{}-{:04}-{:02}-{:02}T{:02}{:02}{}", stem_of(log_file), time.year, time.month, time.day, time.hour, time.minute, kEnding);
}

std::vector<fs::path> backups(const fs::path& log_file) {
    std::vector<fs::path> found;
    std::error_code none;
    for (const fs::directory_entry& entry : fs::directory_iterator(backup_folder(log_file), none)) {
        if (is_dated(entry.path().filename().string(), stem_of(log_file))) {
            found.push_back(entry.path());
        }
    }
    std::sort(found.rbegin(), found.rend());
    return found;
}

Result<BackupContents> restore_check(const fs::path& copy) {
    if (!fs::exists(copy)) {
        return refused("log.missing", copy, "There is no backup of this name.");
    }
    const FileHeader header = read_header(copy);
    if (!header.is_sqlite || header.application_id != kApplicationId) {
        return refused("log.not_ours", copy, "This is not a copy of a log.");
    }
    try {
        const std::unique_ptr<SQLite::Database> database = open_immutable(copy);
        if (const std::optional<std::string> fault = first_fault(*database)) {
            return refused("log.damaged", copy, fmt::format("The copy is damaged ({}).", *fault));
        }
        BackupContents contents;
        contents.version = version_of(*database);
        if (contents.version > schema_version()) {
            return refused("log.newer", copy, "The copy was written by a newer version of this program.");
        }
        SQLite::Statement last(*database, "SELECT at_utc_ms, at_offset_min FROM change ORDER BY seq DESC LIMIT 1");
        if (last.executeStep()) {
            contents.last_change = Stamp{last.getColumn(0).getInt64(), last.getColumn(1).getInt()};
        }
        contents.baths = count_of(*database, "bath");
        contents.pieces = count_of(*database, "piece");
        contents.strips = count_of(*database, "strip");
        contents.dips = count_of(*database, "dip");
        return contents;
    } catch (const SQLite::Exception& failed) {
        return refused("log.damaged", copy, fmt::format("The copy cannot be read ({}).", failed.what()));
    }
}

fs::path make_backup(Log& log, const Stamp& at) {
    const fs::path to = backup_folder(log.file()) / backup_name(log.file(), at);
    sweep_half_made(to.parent_path(), stem_of(log.file()) + "-");
    copy_checked(log.database(), to);
    const std::vector<fs::path> all = backups(log.file());
    for (std::size_t i = kBackupsKept; i < all.size(); ++i) {
        std::error_code ignored;  // one too many does no harm
        fs::remove(all[i], ignored);
    }
    return to;
}

std::optional<fs::path> newest_good_backup(const fs::path& log_file) {
    for (const fs::path& copy : backups(log_file)) {
        if (restore_check(copy)) {
            return copy;
        }
    }
    return std::nullopt;
}

Result<std::optional<fs::path>> restore(const fs::path& log_file, const fs::path& backup) {
    const Result<BackupContents> checked = restore_check(backup);
    if (!checked) {
        return checked.error();
    }
    const fs::path coming = half_made(log_file);
    try {
        fs::copy_file(backup, coming, fs::copy_options::overwrite_existing);
        sync_path(coming);
        std::optional<fs::path> kept;
        if (fs::exists(log_file)) {
            write_journal_in(log_file);
            kept = keep_aside(log_file);
        } else if (fs::exists(beside(log_file, "-wal"))) {  // of a log that is gone: the backup must not read it
            fs::rename(beside(log_file, "-wal"), log_file.parent_path() / (stem_of(log_file) + "-set-aside" + kEnding + "-wal"));
        }
        // One step: at every moment the log's name holds the old log or the backup.
        fs::rename(coming, log_file);
        sync_path(log_file.parent_path());
        return kept;
    } catch (const fs::filesystem_error& failed) {
        std::error_code ignored;
        fs::remove(coming, ignored);
        throw StoreError(fmt::format("The backup could not be put in place of {}: {}. The log itself is as it was. Make room and try again.",
                                     log_file.string(), failed.code().message()),
                         failed.code() == std::errc::no_space_on_device ? StoreError::Kind::disk_full : StoreError::Kind::disk_failed);
    }
}

fs::path copy_before_upgrade(SQLite::Database& database, const fs::path& log_file, int version) {
    const std::string name = fmt::format("{}-before-form-{}", stem_of(log_file), version + 1);
    fs::path to = backup_folder(log_file) / (name + kEnding);
    for (int number = 2; fs::exists(to); ++number) {
        to = backup_folder(log_file) / fmt::format("{}-{}{}", name, number, kEnding);
    }
    copy_checked(database, to);
    return to;
}

}  // namespace tonebath::store
