// Comma-separated tables of data/ with a known head line: read whole, or refused with file and line.
#pragma once

#include "app/data_files.hpp"

#include <string>
#include <string_view>

namespace tonebath::app {

// Refusal code "data.bad_file"; field = "air_limits.csv:12".
[[nodiscard]] Refusal bad_row(const std::filesystem::path& file, int line, std::string words);
// Rows below the head, each with as many cells as it.
[[nodiscard]] Result<std::vector<CsvRecord>> rows_under(const std::filesystem::path& file, std::string_view head);

}  // namespace tonebath::app
