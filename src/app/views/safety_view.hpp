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

// The other questions that are asked of the room's air: the gas of the bath in use coming off over a sitting, a lacquer's
// solvent, what a meter showed.
enum class AirQuestion { sitting, evening, measured };
struct AirTyped {
    std::string hours;             // of the sitting; empty = 2
    std::string solvent, ml, min;  // empty = ethyl acetate, 3 ml, 45 min
    std::string ppm;               // by the meter
};
struct AirTold {
    AirAnswer answer;
    std::string about;             // "bath 46: 2.0 g of LS-2", "3.0 ml of ethyl acetate"
    double down_to_ppm = 1.0;
};
// Refusals: those of air_of, "air.no_bath", "air.not_typed" (no ppm yet), and of the figures typed.
[[nodiscard]] Result<AirTold> air_as_typed(Studio& studio, AirQuestion question, const AirTyped& typed);
[[nodiscard]] std::vector<std::string> solvent_names(Studio& studio);

}  // namespace tonebath::app
