// The words that a new log begins with.
#pragma once

#include "app/data_files.hpp"

namespace tonebath::app {

class Studio;

// Name of the change that wrote them.
inline constexpr std::string_view kFirstWords = "first words";

// Metals, their scales and tones, in one change called "first words". `scales` of metals that are not there are a fault.
[[nodiscard]] Result<Done> seed_words(Studio& studio, const std::vector<MetalWords>& metals,
                                      const std::vector<ScaleWords>& scales);

}  // namespace tonebath::app
