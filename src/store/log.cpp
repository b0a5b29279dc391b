#include "store/log.hpp"

#include "store/errors.hpp"
#include "store/query.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include <unordered_map>

namespace tonebath::store {

struct Log::Statements {
    std::unordered_map<std::string, std::unique_ptr<SQLite::Statement>> kept;
};

Log::Log(std::filesystem::path file, OpenMode mode, std::unique_ptr<SQLite::Database> database)
    : file_(std::move(file)),
      mode_(mode),
      database_(std::move(database)),
      statements_(std::make_unique<Statements>()) {}

Log::~Log() = default;

SQLite::Statement& Log::statement(const std::string& sql) {
    return translated(file_, [&]() -> SQLite::Statement& {
        std::unique_ptr<SQLite::Statement>& kept = statements_->kept[sql];
        if (kept == nullptr) {
            kept = std::make_unique<SQLite::Statement>(*database_, sql);
        } else {
            kept->tryReset();  // repeats the error of the last run, which was reported then
            kept->clearBindings();
        }
        return *kept;
    });
}

std::int64_t Log::generation() {
    Query query(*this, "PRAGMA data_version");
    if (query.next() && query.integer(0) != data_version_) {
        data_version_ = query.integer(0);
        ++generation_;
    }
    return generation_;
}

std::vector<std::string> Log::faults() {
    return translated(file_, [&] {
        std::vector<std::string> found;
        SQLite::Statement whole(*database_, "PRAGMA integrity_check");
        while (whole.executeStep()) {
            if (whole.getColumn(0).getString() != "ok") {
                found.push_back(whole.getColumn(0).getString());
            }
        }
        SQLite::Statement references(*database_, "PRAGMA foreign_key_check");
        while (references.executeStep()) {
            found.push_back(fmt::format("row {} of {} refers to a missing {}", references.getColumn(1).getInt64(),
                                        references.getColumn(0).getString(), references.getColumn(2).getString()));
        }
        return found;
    });
}

std::optional<std::string> Log::setting(std::string_view key) {
    Query query(*this, "SELECT value FROM setting WHERE key = ?1", {std::string(key)});
    return query.next() ? std::optional<std::string>(query.text(0)) : std::nullopt;
}

void Log::set_setting(std::string_view key, std::string_view value) {
    run(*this,
        "INSERT INTO setting (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
        {std::string(key), std::string(value)});
    if (!writing_) {
        ++generation_;
    }
}

Snapshot::Snapshot(Log& log) : log_(log) {
    if (sqlite3_get_autocommit(log_.database().getHandle()) != 0) {
        translated(log_.file(), [&] { log_.database().exec("BEGIN"); });
        began_ = true;
    }
}

Snapshot::~Snapshot() {
    if (began_) {
        log_.database().tryExec("COMMIT");
    }
}

}  // namespace tonebath::store
