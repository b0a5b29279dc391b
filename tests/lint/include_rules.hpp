// Which folder of src/ may include what: the layer table as a check.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace tonebath::lint {

// Walks every .hpp and .cpp below `src` and reports, one sentence each: forbidden edges between layers, third-party
// headers outside the layers that may use them, heavy headers in headers of ours, names that are not found, and cycles.
[[nodiscard]] std::vector<std::string> include_faults(const std::filesystem::path& src);

}  // namespace tonebath::lint
