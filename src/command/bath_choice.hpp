// Which bath and which tone a command is about.
#pragma once

#include "app/studio.hpp"
#include "app/subject.hpp"
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
// The same for what is dipped: its own metal and surface, and its own target, where none are typed.
[[nodiscard]] Result<Tone> aim_for(app::Studio& studio, AimAsked asked, const std::optional<app::Subject>& subject);

// A piece, part, strip or "batch 31". Refusals: those of resolve.
[[nodiscard]] Result<app::Subject> subject_named(app::Studio& studio, const std::string& typed);

}  // namespace tonebath::command
