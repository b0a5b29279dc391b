// A table of numbers as published data files carry it: '#' comment lines, one line of column names, rows of numbers.
#pragma once

#include "base/result.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::science {

struct NumberTable {
    std::vector<std::string> names;
    std::vector<std::vector<double>> columns;  // one for each name, all of one length

    [[nodiscard]] std::size_t rows() const { return columns.empty() ? 0 : columns.front().size(); }
    // Column of that name; nothing when there is none.
    [[nodiscard]] std::optional<std::size_t> find(std::string_view name) const;
};

// Commas between cells, points in numbers, lines ended by LF or CR LF. Every cell must be a finite number.
// Refused with the line number: a missing header, a row of the wrong length, a cell that is no finite number, no rows.
[[nodiscard]] Result<NumberTable> parse_number_table(std::string_view text);

}  // namespace tonebath::science
