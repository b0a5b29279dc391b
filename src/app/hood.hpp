// A hood or a fan's opening: the speed of the air in its face and where the vapour comes off, against what was published.
#pragma once

#include "base/result.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// One row of data/air_speeds.csv.
struct AirSpeedRange {
    std::string kind;  // face, eddies, capture
    std::string situation;
    double low_m_s = 0.0, high_m_s = 0.0;
    std::string body, year, source, trust;
};
// Strict: a fault is refused with file and line.
[[nodiscard]] Result<std::vector<AirSpeedRange>> read_air_speeds(const std::filesystem::path& file);

struct HoodAsk {
    std::optional<double> area_m2;     // of the opening
    std::optional<double> flow_m3_h;   // this, or the speed at the face
    std::optional<double> speed_m_s;
    std::optional<double> distance_m;  // from a plain opening to where the vapour comes off
};

enum class SpeedStands { below, within, above };
struct SpeedHeld {
    AirSpeedRange range;
    SpeedStands stands = SpeedStands::within;
    std::optional<double> flow_for_low_m3_h;  // what the opening would have to draw for the range's lower end
    std::string words;                        // "within 0.3 to 0.51 m/s, laboratory hood: OSHA 1990, second-hand"
};

struct HoodAnswer {
    double area_m2 = 0.0, flow_m3_h = 0.0, face_m_s = 0.0;
    std::optional<double> distance_m, capture_m_s;
    std::vector<SpeedHeld> face;     // each published range, and how this face stands to it
    std::vector<SpeedHeld> capture;  // empty without a distance
    std::vector<std::string> notes;
    std::vector<std::string> sources;
    std::string decides;
};
// As typed with their units; what is not typed is the room's, but for a flow where the speed at the face was typed.
struct HoodTyped {
    std::string opening, flow, speed, distance;
};
[[nodiscard]] Result<HoodAsk> hood_asked(Studio& studio, const HoodTyped& typed);
// Refusals: "hood.no_opening", "hood.no_air", "hood.two_flows" (flow and speed that differ by more than a tenth),
// "number.out_of_range".
[[nodiscard]] Result<HoodAnswer> hood_of(const HoodAsk& ask, const std::vector<AirSpeedRange>& ranges);

}  // namespace tonebath::app
