// How the JSON files of an export look, for other programs: a JSON Schema (draft 2020-12) for each noun, made from its list of
// columns. Those that the project publishes stand in data/schema.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace tonebath::app {

// Name of the file ("lot.schema.json") and its text, in the order of the log.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> schemas();

}  // namespace tonebath::app
