// Records of one noun out of a file of an export, one after the other in flat memory, as values for the log.
#pragma once

#include "app/exchange/columns.hpp"

#include <cstdint>
#include <functional>
#include <istream>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace tonebath::app {

// As the log keeps it; nullptr = unknown.
using StoredValue = std::variant<std::nullptr_t, std::int64_t, double, std::string>;

// What is wrong in the file, and where.
struct RowFault {
    int line = 0;
    std::string column;  // empty = the record as a whole
    std::string value;   // as it stands there
    std::string message, remedy;
};

struct Row {
    int line = 0;                     // on which it begins
    std::int64_t bytes = 0;           // read so far
    std::vector<StoredValue> values;  // in the order of ExchangeNoun::stored_names
};
// What is wrong with the record, or nothing.
using TakeRow = std::function<std::optional<RowFault>(const Row&)>;

// Every record is given to `take` until it finds a fault. A file of an older program may lack columns that may be
// unknown, empty or "no"; any other missing column, and one that the noun does not have, is a fault.
[[nodiscard]] std::optional<RowFault> read_csv_rows(const ExchangeNoun& noun, std::istream& in, const TakeRow& take);
[[nodiscard]] std::optional<RowFault> read_json_rows(const ExchangeNoun& noun, std::istream& in, const TakeRow& take);

}  // namespace tonebath::app
