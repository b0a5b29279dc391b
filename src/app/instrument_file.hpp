// Files that handheld instruments write: CGATS.17 and CSV with L*, a*, b*.
#pragma once

#include "app/tone_reading.hpp"

#include <filesystem>
#include <string_view>
#include <vector>

namespace tonebath::app {

// CGATS.17: fields LAB_L, LAB_A, LAB_B and a name of SAMPLE_NAME or SAMPLE_ID between BEGIN_DATA_FORMAT and END_DATA.
// CSV: a head line with L, a, b (capitals and stars aside), a name where a column is called name or id, an error where
// one is called error. Refusal "reading.file": not so, no colour in it, or one told for another light than D50.
[[nodiscard]] Result<std::vector<ColourReading>> readings_in(std::string_view text, const std::string& name);
[[nodiscard]] Result<std::vector<ColourReading>> readings_in_file(const std::filesystem::path& file);

}  // namespace tonebath::app
