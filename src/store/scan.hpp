// A long table read from end to end: a question without values whose texts are looked at where they lie. A Query costs
// several times as much a column, which tells from a hundred thousand rows on.
#pragma once

#include "store/log.hpp"

#include <cstdint>
#include <optional>
#include <string_view>

struct sqlite3_stmt;

namespace tonebath::store {

class Scan {
public:
    // `sql` is static text. Throws StoreError.
    Scan(Log& log, std::string_view sql);
    ~Scan();
    Scan(const Scan&) = delete;
    Scan& operator=(const Scan&) = delete;

    // Moves to the next row; false at the end. Throws StoreError.
    [[nodiscard]] bool next();
    // Columns of the row, from 0. A NULL reads as an empty text, 0 or 0.0. A text stands until the next row.
    [[nodiscard]] bool unknown(int column) const;
    [[nodiscard]] std::string_view text(int column) const;
    [[nodiscard]] std::int64_t integer(int column) const;
    [[nodiscard]] double real(int column) const;
    [[nodiscard]] std::optional<std::int64_t> maybe_integer(int column) const;
    [[nodiscard]] std::optional<double> maybe_real(int column) const;

private:
    Log& log_;
    sqlite3_stmt* statement_ = nullptr;
};

}  // namespace tonebath::store
