// What joining knows of each table. For the .cpp files of this folder.
#pragma once

#include "store/query.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::store {

struct JoinTable {
    std::string name;
    std::vector<std::string> columns;           // "id" first
    std::vector<bool> clock;                    // stamped by the bench's clock: shifted with it
    std::vector<std::string> refers_to;         // table that the column refers to; empty = none
    std::vector<std::size_t> same_when;         // columns that make two records one; empty = only the id does
    std::optional<std::size_t> label;           // the number or name on it, once in the log
    bool kept = false;                          // never removed

    [[nodiscard]] std::string select() const;   // "SELECT id, … FROM table"
    [[nodiscard]] std::size_t at(std::string_view column) const;
};

// Every noun's table, each after those that it refers to.
[[nodiscard]] std::vector<JoinTable> join_tables(Log& log);

// A row as it stands, in the order of the table's columns.
[[nodiscard]] std::vector<Bound> row_of(Query& query, std::size_t columns);
[[nodiscard]] std::string text_of(const Bound& value);

}  // namespace tonebath::store
