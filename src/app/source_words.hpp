// Sources named by a key in a table of data/, said in words.
#pragma once

#include "base/result.hpp"

#include <filesystem>
#include <map>
#include <string>
#include <string_view>

namespace tonebath::app {

using SourceWords = std::map<std::string, std::string, std::less<>>;

// data/sources.csv. Refusal "data.bad_file".
[[nodiscard]] Result<SourceWords> read_source_words(const std::filesystem::path& file);
// "BENCH; OPAL (no); [M]" as "bench jeweller's chart; dealer's page on opal (no); from memory". A key that is not in the
// table stays as it is.
[[nodiscard]] std::string sources_in_words(const SourceWords& words, std::string_view keys);
// "[M]" in running words as "(from memory)".
[[nodiscard]] std::string memory_in_words(std::string text);

}  // namespace tonebath::app
