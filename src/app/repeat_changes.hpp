// What is no longer as it was: lot, make-up, vessel, thermometer, metal and its source, surface, sealer, water, who.
// For .cpp files of this layer only.
#pragma once

#include "app/repeat.hpp"
#include "app/repeat_pattern.hpp"

namespace tonebath::app {

// What changed first, then what is not known, then what is the same.
[[nodiscard]] std::vector<RepeatChange> repeat_changes(Studio& studio, const RepeatPattern& pattern,
                                                       const std::vector<std::vector<Dip>>& dips,
                                                       const std::optional<Bath>& today);

}  // namespace tonebath::app
