// Any noun's records as a plain table: for lists, JSON and CSV. Unknown stays unknown.
#pragma once

#include "base/result.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace tonebath::app {

class Studio;

// monostate = not known.
using Cell = std::variant<std::monostate, std::int64_t, double, std::string>;

struct RecordColumn {
    std::string name;       // as in the log; a moment is one column "made", as ISO 8601 with its offset
    bool reference = false; // holds an id of another record
};

struct RecordTable {
    std::string noun;
    std::vector<RecordColumn> columns;
    std::vector<std::vector<Cell>> rows;
};

struct RecordAsk {
    std::string noun;            // "bath", "order" …
    std::string number;          // only the record of that number, name or id; empty = all
    std::size_t limit = 100000;
    bool numbers = true;         // references as the number or word people use, instead of the id
};

// Words of all nouns, in the order of the log.
[[nodiscard]] std::vector<std::string> noun_words();
// Refusals: "record.no_noun" (names the nouns there are), "record.none" (no record of that number).
[[nodiscard]] Result<RecordTable> records(Studio& studio, const RecordAsk& ask);

// The table as text in columns, as CSV (RFC 4180, UTF-8, CRLF; text that a spreadsheet would take for a formula is led in
// by an apostrophe), as JSON (array of objects, unknown as null).
[[nodiscard]] std::string as_text(const RecordTable& table);
[[nodiscard]] std::string as_csv(const RecordTable& table);
[[nodiscard]] std::string as_json(const RecordTable& table);

}  // namespace tonebath::app
