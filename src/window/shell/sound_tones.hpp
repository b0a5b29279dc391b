// The sounds of the bench, made from a small table: wood and bowl, told apart by rhythm and not by pitch alone.
#pragma once

#include "model/cue.hpp"

#include <cstdint>
#include <vector>

namespace tonebath::window {

inline constexpr int kSoundRate_hz = 44100;

// One channel, 16 bits, kSoundRate_hz; begins with the stroke itself, at most 1 s long, never clipped.
[[nodiscard]] std::vector<std::int16_t> tone_of(CueKind kind);

}  // namespace tonebath::window
