#include "app/csv_file.hpp"

#include "base/files.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

namespace tonebath::app {

Refusal bad_row(const std::filesystem::path& file, int line, std::string words) {
    return Refusal{.code = "data.bad_file",
                   .field = fmt::format("{}:{}", file.filename().string(), line),
                   .value = {},
                   .message = std::move(words),
                   .remedy = fmt::format("Correct {}, or put back the one that came with the program.", file.string()),
                   .answers = {}};
}

// Rows below a known head, each of its length.
Result<std::vector<CsvRecord>> rows_under(const std::filesystem::path& file, std::string_view head) {
    std::string text;
    try {
        text = read_file(file);
    } catch (const FileError& trouble) {
        return bad_row(file, 1, trouble.what());
    }
    std::vector<CsvRecord> rows = csv_records(text);
    const std::vector<std::string> names = split(head, ',');
    if (rows.empty() || rows.front().cells != names) {
        return bad_row(file, rows.empty() ? 1 : rows.front().line, "the head line is not the one expected.");
    }
    rows.erase(rows.begin());
    for (const CsvRecord& row : rows) {
        if (row.cells.size() != names.size()) {
            return bad_row(file, row.line, fmt::format("{} cells where {} belong.", row.cells.size(), names.size()));
        }
    }
    return rows;
}

}  // namespace tonebath::app
