// Which bath a command is about.
#pragma once

#include "app/studio.hpp"
#include "base/result.hpp"
#include "model/bath.hpp"

#include <string>

namespace tonebath::command {

// The bath named, or the newest in use when nothing is typed. Refusals: those of resolve, "bath.none_in_use".
[[nodiscard]] Result<Bath> bath_or_newest(app::Studio& studio, const std::string& typed);

}  // namespace tonebath::command
