#include "store/raw_rows.hpp"

#include <SQLiteCpp/SQLiteCpp.h>

namespace tonebath::store {

namespace {

RawCell cell_of(const SQLite::Column& column) {
    if (column.isNull()) {
        return std::monostate{};
    }
    if (column.isInteger()) {
        return column.getInt64();
    }
    if (column.isFloat()) {
        return column.getDouble();
    }
    return column.getString();
}

}  // namespace

RawTable raw_rows(Log& log, const std::string& sql, const std::vector<Bound>& values) {
    RawTable table;
    Query query(log, sql, values);
    SQLite::Statement& statement = query.statement();
    for (int i = 0; i < statement.getColumnCount(); ++i) {
        table.columns.emplace_back(statement.getColumnName(i));
    }
    while (query.next()) {
        std::vector<RawCell> row;
        for (int i = 0; i < statement.getColumnCount(); ++i) {
            row.push_back(cell_of(statement.getColumn(i)));
        }
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace tonebath::store
