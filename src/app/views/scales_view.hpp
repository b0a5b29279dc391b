// The studio's tone scales, for drawing strips and choosing tones.
#pragma once

#include "base/ids.hpp"
#include "model/tone.hpp"

#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct ScaleTone {
    Id<Tone> id;
    std::string word;
    std::string colour;      // "#rrggbb", empty = words only
    bool ceiling = false;
};

struct ScaleView {
    Id<ToneScale> id;
    Id<Metal> metal_id;
    std::string metal;       // "sterling"
    std::string surface;     // empty = every surface
    std::string name;        // "Sterling, bright"
    std::string bare_colour; // of the metal, may be empty
    std::vector<ScaleTone> tones;  // by position
    std::size_t records = 0; // strips and parts judged on it
};

// Those with records first, then by name.
[[nodiscard]] std::vector<ScaleView> scales_view(Studio& studio);

}  // namespace tonebath::app
