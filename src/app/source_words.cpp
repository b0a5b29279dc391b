#include "app/source_words.hpp"

#include "app/csv_file.hpp"
#include "base/text.hpp"

#include <algorithm>
#include <vector>

namespace tonebath::app {

namespace {

constexpr std::string_view kMemory = "[M]";

}  // namespace

Result<SourceWords> read_source_words(const std::filesystem::path& file) {
    const auto rows = rows_under(file, "key,words");
    if (!rows) {
        return rows.error();
    }
    SourceWords words;
    for (const CsvRecord& row : *rows) {
        if (row.cells[0].empty() || row.cells[1].empty() || !words.emplace(row.cells[0], row.cells[1]).second) {
            return bad_row(file, row.line, "a source is a key of its own and its words.");
        }
    }
    return words;
}

std::string sources_in_words(const SourceWords& words, std::string_view keys) {
    std::vector<std::string> said;
    for (const std::string& part : split(keys, ';')) {
        const std::string_view one = trimmed(part);
        const std::size_t space = one.find(' ');
        const std::string_view key = one.substr(0, space);
        const std::string_view more = space == std::string_view::npos ? std::string_view() : one.substr(space + 1);
        const auto found = words.find(key);
        std::string source(one);
        if (key == kMemory) {
            source = "from memory" + (more.empty() ? std::string() : ": " + std::string(more));
        } else if (found != words.end()) {
            source = found->second + (more.empty() ? std::string() : " " + std::string(more));
        }
        // Two keys may be pages of one kind.
        if (!source.empty() && std::ranges::find(said, source) == said.end()) {
            said.push_back(std::move(source));
        }
    }
    return joined(said, "; ");
}

std::string memory_in_words(std::string text) {
    for (std::size_t at = text.find(kMemory); at != std::string::npos; at = text.find(kMemory)) {
        text.replace(at, kMemory.size(), "(from memory)");
    }
    return text;
}

}  // namespace tonebath::app
