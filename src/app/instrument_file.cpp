#include "app/instrument_file.hpp"

#include "app/data_files.hpp"
#include "base/files.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr std::uintmax_t kMostBytes = 4'000'000;

// Rows of named cells, whatever file they came from.
struct Rows {
    std::vector<std::string> names;  // folded
    std::vector<std::vector<std::string>> rows;
    [[nodiscard]] std::optional<std::size_t> column(std::initializer_list<std::string_view> called) const {
        for (const std::string_view name : called) {
            if (const auto at = std::find(names.begin(), names.end(), name); at != names.end()) {
                return static_cast<std::size_t>(at - names.begin());
            }
        }
        return std::nullopt;
    }
};

// Words of a line between blanks; a quoted one may hold blanks.
std::vector<std::string> words_in(std::string_view line) {
    std::vector<std::string> words;
    for (std::size_t at = 0; at < line.size();) {
        const char c = line[at];
        if (c == ' ' || c == '\t' || c == '\r') {
            ++at;
            continue;
        }
        const bool quoted = c == '"';
        const std::size_t from = quoted ? at + 1 : at;
        const std::size_t end = std::min(line.size(), quoted ? line.find('"', from) : line.find_first_of(" \t\r", from));
        words.emplace_back(line.substr(from, end - from));
        at = quoted ? end + 1 : end;
    }
    return words;
}

Refusal wrong(const std::string& file, const std::string& what) {
    return {.code = "reading.file",
            .field = "Readings",
            .value = shown(file),
            .message = what,
            .remedy = "It takes CGATS.17 with LAB_L, LAB_A and LAB_B, or CSV with L, a and b in its head line, under D50.",
            .answers = {}};
}

// "ILLUMINANT, D65" and the like in a line of the head.
bool other_light(std::string_view line) {
    const std::string low = folded(line);
    const std::size_t at = low.find("illumina");
    return at != std::string::npos && (low.find("d65", at) != std::string::npos || low.find("d55", at) != std::string::npos ||
                                       low.find("d75", at) != std::string::npos);
}

Result<Rows> cgats_rows(std::string_view text, const std::string& file) {
    Rows rows;
    enum class Part { head, format, data } part = Part::head;
    for (const std::string& line : split(text, '\n')) {
        const std::vector<std::string> words = words_in(line);
        if (words.empty() || words.front().starts_with('#')) {
            continue;
        }
        const std::string& first = words.front();
        if (first == "BEGIN_DATA_FORMAT") {
            part = Part::format;
        } else if (first == "BEGIN_DATA") {
            part = Part::data;
        } else if (first == "END_DATA_FORMAT" || first == "END_DATA") {
            part = Part::head;
        } else if (part == Part::format) {
            std::transform(words.begin(), words.end(), std::back_inserter(rows.names), folded);
        } else if (part == Part::data) {
            rows.rows.push_back(words);
        } else if (other_light(line)) {
            return wrong(file, "its colours are told for another light than D50.");
        }
    }
    return rows;
}

Rows csv_rows(std::string_view text) {
    Rows rows;
    for (const CsvRecord& record : csv_records(text)) {
        if (rows.names.empty()) {
            for (const std::string& cell : record.cells) {
                std::string name = folded(trimmed(cell));
                std::erase(name, '*');
                rows.names.push_back(std::move(name));
            }
        } else {
            rows.rows.push_back(record.cells);
        }
    }
    return rows;
}

}  // namespace

Result<std::vector<ColourReading>> readings_in(std::string_view text, const std::string& file) {
    const bool cgats = text.find("BEGIN_DATA_FORMAT") != std::string_view::npos;
    const Result<Rows> read = cgats ? cgats_rows(text, file) : Result<Rows>(csv_rows(text));
    if (!read) {
        return read.error();
    }
    const Rows& rows = *read;
    const auto l = rows.column({"lab_l", "l"}), a = rows.column({"lab_a", "a"}), b = rows.column({"lab_b", "b"});
    const auto name = rows.column({"sample_name", "name", "sample_id", "id", "number"}), error = rows.column({"error"});
    if (!l || !a || !b) {
        return wrong(file, "it has no L*, a* and b*.");
    }
    std::vector<ColourReading> readings;
    for (const std::vector<std::string>& row : rows.rows) {
        const auto number = [&](const std::optional<std::size_t>& column) -> std::optional<double> {
            const Result<double> value = column && *column < row.size() ? parse_number("", row[*column]) : Result<double>(Refusal{});
            return value ? std::optional(*value) : std::nullopt;
        };
        const auto light = number(l), red = number(a), yellow = number(b);
        if (!light || !red || !yellow || *light < 0.0 || *light > 100.0 || std::abs(*red) > 200.0 || std::abs(*yellow) > 200.0) {
            return wrong(file, fmt::format("its row {} holds no colour.", readings.size() + 1));
        }
        readings.push_back({.name = name && *name < row.size() ? row[*name] : std::to_string(readings.size() + 1), .colour = {*light, *red, *yellow}, .error_de00 = number(error)});
    }
    return readings.empty() ? Result<std::vector<ColourReading>>(wrong(file, "it holds no rows.")) : readings;
}

Result<std::vector<ColourReading>> readings_in_file(const std::filesystem::path& file) {
    const std::string name = file.filename().string();
    std::error_code fault;
    if (const auto size = std::filesystem::file_size(file, fault); fault || size > kMostBytes) {
        return wrong(name, fault ? "there is no such file." : "it is too large for a list of colours.");
    }
    try {
        return readings_in(read_file(file), name);
    } catch (const FileError& trouble) {
        return wrong(name, std::string("it cannot be read: ") + trouble.what());
    }
}

}  // namespace tonebath::app
