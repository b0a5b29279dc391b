#include "science/number_table.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace tonebath::science {

namespace {

Refusal table_refused(std::size_t line, std::string message) {
    return {.code = "optics.table",
            .field = "data file, line " + std::to_string(line),
            .value = {},
            .message = std::move(message),
            .remedy = "Install the data files again.",
            .answers = {}};
}

std::vector<std::string_view> cells_of(std::string_view line) {
    std::vector<std::string_view> cells;
    while (true) {
        const std::size_t comma = line.find(',');
        cells.push_back(line.substr(0, comma));
        if (comma == std::string_view::npos) {
            return cells;
        }
        line.remove_prefix(comma + 1);
    }
}

std::string_view next_line(std::string_view& text) {
    const std::size_t end = text.find('\n');
    std::string_view line = text.substr(0, end);
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    if (line.ends_with('\r')) {
        line.remove_suffix(1);
    }
    return line;
}

std::optional<double> number_of(std::string_view cell) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    if (error != std::errc{} || end != cell.data() + cell.size() || !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

}  // namespace

std::optional<std::size_t> NumberTable::find(std::string_view name) const {
    const auto place = std::find(names.begin(), names.end(), name);
    if (place == names.end()) {
        return std::nullopt;
    }
    return static_cast<std::size_t>(place - names.begin());
}

Result<NumberTable> parse_number_table(std::string_view text) {
    NumberTable table;
    std::size_t line_number = 0;
    while (!text.empty()) {
        const std::string_view line = next_line(text);
        ++line_number;
        if (line.empty() || line.front() == '#') {
            continue;
        }
        const std::vector<std::string_view> cells = cells_of(line);
        if (table.names.empty()) {
            table.names.assign(cells.begin(), cells.end());
            table.columns.resize(cells.size());
            continue;
        }
        if (cells.size() != table.names.size()) {
            return table_refused(line_number, "This row has " + std::to_string(cells.size()) +
                                                  " cells where the head has " + std::to_string(table.names.size()) +
                                                  ".");
        }
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const std::optional<double> value = number_of(cells[i]);
            if (!value) {
                return table_refused(line_number, "\"" + std::string(cells[i]) + "\" is not a number.");
            }
            table.columns[i].push_back(*value);
        }
    }
    if (table.rows() == 0) {
        return table_refused(line_number, "There are no rows of numbers.");
    }
    return table;
}

}  // namespace tonebath::science
