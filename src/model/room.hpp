// The room that is worked in, and its air.
#pragma once

#include "base/text.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>

namespace tonebath {

// How the figure of the clean air is known.
enum class AirKnown { measured, smoke_tested, assumed };

struct Room {
    double volume_m3 = 0.0;           // > 0
    std::optional<double> flow_m3_h;  // of the fan or hood when it is on, >= 0; unknown = no figure
    AirKnown flow_known = AirKnown::assumed;
    std::optional<double> still_per_h;  // air changes an hour with fan off and windows shut
    std::optional<double> mixing;       // the worst mixing factor, 1 to 10
    std::string openings;               // windows and doors, in words
};

template <>
struct EnumWords<AirKnown> {
    static constexpr std::array<std::string_view, 3> words{"measured", "smoke-tested", "assumed"};
};

}  // namespace tonebath
