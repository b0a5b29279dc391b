#include "store/scan.hpp"

#include "store/errors.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <sqlite3.h>

namespace tonebath::store {

Scan::Scan(Log& log, std::string_view sql) : log_(log) {
    translated(log.file(), [&] {
        sqlite3* handle = log.database().getHandle();
        if (const int code = sqlite3_prepare_v2(handle, sql.data(), static_cast<int>(sql.size()), &statement_, nullptr); code != SQLITE_OK) {
            throw SQLite::Exception(handle, code);
        }
    });
}

Scan::~Scan() {
    sqlite3_finalize(statement_);
}

bool Scan::next() {
    const int code = sqlite3_step(statement_);
    if (code != SQLITE_ROW && code != SQLITE_DONE) {
        translated(log_.file(), [&] { throw SQLite::Exception(log_.database().getHandle(), code); });
    }
    return code == SQLITE_ROW;
}

bool Scan::unknown(int column) const {
    return sqlite3_column_type(statement_, column) == SQLITE_NULL;
}

std::string_view Scan::text(int column) const {
    const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(statement_, column));
    return text == nullptr ? std::string_view() : std::string_view(text, static_cast<std::size_t>(sqlite3_column_bytes(statement_, column)));
}

std::int64_t Scan::integer(int column) const {
    return sqlite3_column_int64(statement_, column);
}

double Scan::real(int column) const {
    return sqlite3_column_double(statement_, column);
}

std::optional<std::int64_t> Scan::maybe_integer(int column) const {
    return unknown(column) ? std::nullopt : std::optional(integer(column));
}

std::optional<double> Scan::maybe_real(int column) const {
    return unknown(column) ? std::nullopt : std::optional(real(column));
}

}  // namespace tonebath::store
