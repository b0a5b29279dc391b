// Reads the published tables and expected results that the science tests are held against.
#pragma once

#include "science/number_table.hpp"

#include <catch2/catch.hpp>

#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace tonebath::test {

inline std::string text_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    INFO(path);
    REQUIRE(file);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

// File under tests/cases/.
inline std::string case_file(const std::string& name) {
    return std::string(TONEBATH_CASES_DIR) + "/" + name;
}
// File that the program ships, under data/.
inline std::string data_file(const std::string& name) {
    return std::string(TONEBATH_SOURCE_DIR) + "/data/" + name;
}

inline science::NumberTable numbers_of(const std::string& path) {
    auto table = science::parse_number_table(text_of(path));
    INFO(path << (table ? "" : table.error().text()));
    REQUIRE(table);
    return std::move(table).value();
}

using Row = std::map<std::string, std::string>;

// A table with words in it: '#' comments, a head, cells that may stand in double quotes ("" for a quote inside).
inline std::vector<Row> rows_of(const std::string& path) {
    std::istringstream text(text_of(path));
    std::vector<std::string> names;
    std::vector<Row> rows;
    for (std::string line; std::getline(text, line);) {
        if (line.empty() || line.front() == '#') {
            continue;
        }
        std::vector<std::string> cells(1);
        bool quoted = false;
        for (std::size_t i = 0; i < line.size(); ++i) {
            const char c = line[i];
            if (c == '"' && quoted && i + 1 < line.size() && line[i + 1] == '"') {
                cells.back() += line[++i];
            } else if (c == '"') {
                quoted = !quoted;
            } else if (c == ',' && !quoted) {
                cells.emplace_back();
            } else {
                cells.back() += c;
            }
        }
        if (names.empty()) {
            names = cells;
            continue;
        }
        INFO(path << ": " << line);
        REQUIRE(cells.size() == names.size());
        for (std::size_t i = 0; i < names.size(); ++i) {
            if (i == 0) {
                rows.emplace_back();
            }
            rows.back()[names[i]] = cells[i];
        }
    }
    REQUIRE(!rows.empty());
    return rows;
}

inline double number(const Row& row, const std::string& name) {
    return std::stod(row.at(name));
}

}  // namespace tonebath::test
