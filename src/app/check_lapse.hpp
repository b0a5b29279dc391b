// Which use of a list counts, and from when on it does not. For the .cpp files of this folder only.
#pragma once

#include "app/checks.hpp"

#include <string>
#include <vector>

namespace tonebath::app {

// The newest use of the list for just this that was not withdrawn.
[[nodiscard]] std::optional<CheckRun> newest_run(Studio& studio, const Checklist& list, const CheckAbout& about);
// In the order of time.
[[nodiscard]] std::vector<CheckAnswer> answers_of(Studio& studio, const Id<CheckRun>& run);
// Why this use of the list counts no longer; empty = it counts.
[[nodiscard]] std::string lapse_of(Studio& studio, const Checklist& list, const CheckAbout& about, const CheckRun& run,
                                   const std::vector<CheckAnswer>& answers);

}  // namespace tonebath::app
