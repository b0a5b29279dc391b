#include "store/migrate.hpp"

#include "store/errors.hpp"
#include "store/log.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>

#include <string>

namespace tonebath::store {
namespace {

void run_step(SQLite::Database& database, const Migration& step) {
    database.exec("BEGIN IMMEDIATE");
    try {
        if (version_of(database) < step.version) {  // another program may have been quicker
            database.exec(std::string(step.sql));
            SQLite::Statement broken(database, "PRAGMA foreign_key_check");
            if (broken.executeStep()) {
                throw StoreError(fmt::format("Step {} left a record that refers to nothing, in {}.", step.file,
                                             broken.getColumn(0).getString()));
            }
            database.exec(fmt::format("PRAGMA user_version = {}", step.version));
        }
        database.exec("COMMIT");
    } catch (...) {
        database.tryExec("ROLLBACK");
        throw;
    }
}

}  // namespace

int version_of(SQLite::Database& database) {
    return database.execAndGet("PRAGMA user_version").getInt();
}

int upgrade(SQLite::Database& database, std::span<const Migration> steps) {
    return translated(database.getFilename(), [&] {
        const int before = version_of(database);
        database.exec("PRAGMA foreign_keys = OFF");
        for (const Migration& step : steps) {
            if (step.version > before) {
                run_step(database, step);
            }
        }
        database.exec("PRAGMA foreign_keys = ON");
        return before;
    });
}

int schema_version() {
    return migrations().back().version;
}

}  // namespace tonebath::store
