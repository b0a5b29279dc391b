#include "store/query.hpp"

#include "store/errors.hpp"

#include <SQLiteCpp/SQLiteCpp.h>

namespace tonebath::store {
namespace {

void bind(SQLite::Statement& statement, const std::vector<Bound>& values) {
    int at = 0;
    for (const Bound& value : values) {
        ++at;
        if (const auto* whole = std::get_if<std::int64_t>(&value)) {
            statement.bind(at, *whole);
        } else if (const auto* real = std::get_if<double>(&value)) {
            statement.bind(at, *real);
        } else if (const auto* text = std::get_if<std::string>(&value)) {
            statement.bind(at, *text);
        } else {
            statement.bind(at);
        }
    }
}

}  // namespace

Query::Query(Log& log, const std::string& sql, const std::vector<Bound>& values)
    : log_(log), statement_(log.statement(sql)) {
    translated(log_.file(), [&] { bind(statement_, values); });
}

Query::~Query() {
    statement_.tryReset();
}

bool Query::next() {
    return translated(log_.file(), [&] { return statement_.executeStep(); });
}

bool Query::unknown(int column) const {
    return statement_.isColumnNull(column);
}

std::string Query::text(int column) const {
    return statement_.getColumn(column).getString();
}

std::int64_t Query::integer(int column) const {
    return statement_.getColumn(column).getInt64();
}

double Query::real(int column) const {
    return statement_.getColumn(column).getDouble();
}

std::optional<double> Query::maybe_real(int column) const {
    return unknown(column) ? std::nullopt : std::optional<double>(real(column));
}

Stamp Query::stamp(int column) const {
    return Stamp{integer(column), static_cast<int>(integer(column + 1))};
}

int run(Log& log, const std::string& sql, const std::vector<Bound>& values) {
    Query query(log, sql, values);
    return translated(log.file(), [&] { return query.statement().exec(); });
}

}  // namespace tonebath::store
