// Reads the tables of tests/cases/chemistry and tests/cases/safety.
#pragma once

#include <cctype>
#include <cstddef>
#include <fstream>
#include <map>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::cases {

using Row = std::map<std::string, std::string>;

// Cells of one line; commas within quotes belong to the cell.
inline std::vector<std::string> cells_of(std::string_view line) {
    std::vector<std::string> cells(1);
    bool quoted = false;
    for (const char c : line) {
        if (c == '"') {
            quoted = !quoted;
        } else if (c == ',' && !quoted) {
            cells.emplace_back();
        } else if (c != '\r') {
            cells.back() += c;
        }
    }
    return cells;
}

// file: below tests/cases.
inline std::vector<Row> rows_of(const std::string& file) {
    std::ifstream in(std::string(TONEBATH_CASES_DIR) + "/" + file);
    std::string line;
    if (!std::getline(in, line)) {
        throw std::runtime_error("cannot read " + file);
    }
    const std::vector<std::string> names = cells_of(line);
    std::vector<Row> rows;
    while (std::getline(in, line)) {
        const std::vector<std::string> cells = cells_of(line);
        if (cells.size() != names.size()) {
            throw std::runtime_error(file + ": a row of the wrong length: " + line);
        }
        Row row;
        for (std::size_t i = 0; i < names.size(); ++i) {
            row[names[i]] = cells[i];
        }
        rows.push_back(row);
    }
    return rows;
}

inline std::vector<Row> chemistry_rows(const std::string& file) {
    return rows_of("chemistry/" + file);
}

struct PrintedNumber {
    double value = 0.0;
    double half_unit = 0.0;  // half of the last printed digit
};

// Numbers of a text in order; digits that belong to a name (C1, T2) are not numbers.
inline std::vector<PrintedNumber> numbers_in(const std::string& text) {
    const auto is_digit = [&](std::size_t i) {
        return i < text.size() && std::isdigit(static_cast<unsigned char>(text[i]));
    };
    const auto is_letter = [&](std::size_t i) { return std::isalpha(static_cast<unsigned char>(text[i])) != 0; };
    std::vector<PrintedNumber> numbers;
    for (std::size_t i = 0; i < text.size();) {
        if (!is_digit(i) || (i > 0 && is_letter(i - 1))) {
            i += 1;
            continue;
        }
        const std::size_t start = i > 0 && text[i - 1] == '-' ? i - 1 : i;
        double unit = 1.0;
        bool point = false;
        while (is_digit(i) || (!point && i < text.size() && text[i] == '.' && is_digit(i + 1))) {
            unit = point ? unit / 10.0 : unit;
            point = point || text[i] == '.';
            i += 1;
        }
        std::string written = text.substr(start, i - start);
        if (i + 2 < text.size() && text[i] == 'e' && (is_digit(i + 1) || is_digit(i + 2))) {
            const std::size_t exponent = i;
            i += 2;
            while (is_digit(i)) {
                i += 1;
            }
            written += text.substr(exponent, i - exponent);
            unit *= std::stod("1" + text.substr(exponent, i - exponent));
        }
        numbers.push_back({std::stod(written), unit / 2.0});
    }
    return numbers;
}

}  // namespace tonebath::cases
