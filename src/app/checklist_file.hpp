// Reads one checklist of checklists/. Strict: an unknown key, a missing source, an id twice are faults with file and
// line.
#pragma once

#include "base/result.hpp"
#include "model/checklist.hpp"

#include <filesystem>

namespace tonebath::app {

// Refusal code "data.bad_file"; field = "before_bath.toml:12".
[[nodiscard]] Result<Checklist> read_checklist(const std::filesystem::path& file);

}  // namespace tonebath::app
