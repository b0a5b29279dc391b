// What the page Safety shows: the air of the room for the bath in use.
#pragma once

#include "app/air.hpp"
#include "app/gas_effects.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct SafetyView {
    bool has_room = false;
    std::string bath;        // number of the sulfide bath that the air is told for; empty = none in use
    std::string about;       // "bath 46: 2.0 g of LS-2, liver of sulfur, lump"
    std::string room_words;  // "room 46 m³"
    double down_to_ppm = 1.0;
    std::optional<AirAnswer> air;
    std::string why_no_air;  // what is missing, in words, when there is no air
    std::vector<GasEffect> effects;  // what so much gas does, for the scale
};

[[nodiscard]] SafetyView safety_view(Studio& studio);

}  // namespace tonebath::app
