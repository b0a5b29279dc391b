// Reading the statistics reference cases (tests/cases/statistics).
#pragma once

#include <nlohmann/json.hpp>

#include <fstream>
#include <limits>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace statistics_cases {

inline std::string path(const std::string& file) { return std::string(TONEBATH_CASES_DIR) + "/statistics/" + file; }

inline nlohmann::json expected(const std::string& folder) {
    std::ifstream in(path(folder + "/expected.json"));
    if (!in) {
        throw std::runtime_error("missing " + folder);
    }
    return nlohmann::json::parse(in).at("cases");
}

// A table of numbers by column; a blank cell is NaN, a word is kept in `words`.
struct Table {
    std::vector<std::string> names;
    std::vector<std::vector<double>> columns;
    std::vector<std::vector<std::string>> words;

    std::size_t at(const std::string& name) const {
        for (std::size_t i = 0; i < names.size(); ++i) {
            if (names[i] == name) {
                return i;
            }
        }
        throw std::runtime_error("no column " + name);
    }
    const std::vector<double>& operator[](const std::string& name) const { return columns[at(name)]; }
    const std::vector<std::string>& word(const std::string& name) const { return words[at(name)]; }
    std::size_t rows() const { return columns.front().size(); }
};

inline Table table(const std::string& file) {
    std::ifstream in(path(file));
    if (!in) {
        throw std::runtime_error("missing " + file);
    }
    Table out;
    std::string line;
    const auto split = [](const std::string& text) {
        std::vector<std::string> cells(1);
        for (const char c : text) {
            if (c == ',') {
                cells.emplace_back();
            } else if (c != '\r') {
                cells.back() += c;
            }
        }
        return cells;
    };
    std::getline(in, line);
    out.names = split(line);
    out.columns.resize(out.names.size());
    out.words.resize(out.names.size());
    while (std::getline(in, line)) {
        if (line.empty()) {
            continue;
        }
        const auto cells = split(line);
        for (std::size_t i = 0; i < out.names.size(); ++i) {
            const std::string cell = i < cells.size() ? cells[i] : std::string();
            std::istringstream number(cell);
            number.imbue(std::locale::classic());
            double value = std::numeric_limits<double>::quiet_NaN();
            if (!(number >> value)) {
                value = std::numeric_limits<double>::quiet_NaN();
            }
            out.columns[i].push_back(value);
            out.words[i].push_back(cell);
        }
    }
    return out;
}

}  // namespace statistics_cases
