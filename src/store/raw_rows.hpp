// Rows of any question as plain values with their column names: for lists and files of every noun.
#pragma once

#include "store/query.hpp"

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace tonebath::store {

// monostate = NULL.
using RawCell = std::variant<std::monostate, std::int64_t, double, std::string>;

struct RawTable {
    std::vector<std::string> columns;
    std::vector<std::vector<RawCell>> rows;
};

// All rows that `sql` gives. Throws StoreError.
[[nodiscard]] RawTable raw_rows(Log& log, const std::string& sql, const std::vector<Bound>& values = {});

}  // namespace tonebath::store
