// Which bath and which tone a command is about.
#pragma once

#include "app/studio.hpp"
#include "base/result.hpp"
#include "model/bath.hpp"
#include "model/tone.hpp"

#include <string>

namespace tonebath::command {

// The bath named, or the newest in use when nothing is typed. Refusals: those of resolve, "bath.none_in_use".
[[nodiscard]] Result<Bath> bath_or_newest(app::Studio& studio, const std::string& typed);

// A tone as typed: its word with its metal (and surface), or a target.
struct AimAsked {
    std::string tone, metal, surface, target;
};
// Refusals: those of resolve, "plan.no_aim".
[[nodiscard]] Result<Tone> aim_of(app::Studio& studio, const AimAsked& asked);

}  // namespace tonebath::command
