// One value out of a file, read as its column asks.
#pragma once

#include "app/exchange/read_rows.hpp"

#include <cstddef>
#include <string_view>

namespace tonebath::app {

// nullptr = null; true and false only come out of JSON.
using Given = std::variant<std::nullptr_t, bool, std::int64_t, double, std::string>;

// Appends the value, two of them for a moment. What is wrong with it comes back, without its line.
[[nodiscard]] std::optional<RowFault> store_given(const ExchangeColumn& column, const Given& given, std::vector<StoredValue>& values);
// The same for the text of a cell.
[[nodiscard]] std::optional<RowFault> store_cell(const ExchangeColumn& column, std::string_view cell, std::vector<StoredValue>& values);
// For a column that an older file lacks; nothing where the record cannot do without.
[[nodiscard]] bool store_missing(const ExchangeColumn& column, std::vector<StoredValue>& values);

}  // namespace tonebath::app
