// Rooms, hoods and moving air as people type and read them on both sides of the Atlantic: "46 m³", "1627 ft³",
// "6.0 × 3.2 × 2.4 m", "276 m³/h", "162 cfm", "30 x 25 in", "100 fpm". Refuses as the parsers of quantity_text.hpp do.
// 1 ft = 0.3048 m exactly (International yard and pound agreement, 1959).
#pragma once

#include "base/result.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace tonebath {

inline constexpr double kFoot_m = 0.3048;
inline constexpr double kCubicFoot_m3 = kFoot_m * kFoot_m * kFoot_m;

// How a room's size was typed: a bare number may have been meant as a floor area.
enum class SizeTyped { sides, with_unit, bare };
struct RoomSize {
    double volume_m3 = 0.0;
    SizeTyped typed = SizeTyped::bare;
};
// A bare number is cubic metres; three sides without a unit are metres; a unit behind the last side stands for all.
// Two sides, m² and ft² are refused as "room.floor_area", with the size under a ceiling of 2.4 m as an answer.
[[nodiscard]] Result<RoomSize> parse_room_size(std::string_view field, std::string_view typed);
// m³ an hour; a bare number is m³/h. "276 m3/h", "77 l/s", "162 cfm", "162 ft³/min", "4.6 m3/min".
[[nodiscard]] Result<double> parse_air_flow(std::string_view field, std::string_view typed);
// m/s; bare is m/s. "0.5 m/s", "100 ft/min", "100 fpm".
[[nodiscard]] Result<double> parse_air_speed(std::string_view field, std::string_view typed);
// m²; bare is m². "0.05 m2", "750 in2", "5.2 ft²", "30 x 25 in", "0.6 × 0.4 m".
[[nodiscard]] Result<double> parse_opening(std::string_view field, std::string_view typed);
// m; bare is m. "0.2 m", "20 cm", "8 in".
[[nodiscard]] Result<double> parse_distance(std::string_view field, std::string_view typed);

// "46 m³ (1624 ft³)", "276 m³/h (162 ft³/min)", "0.51 m/s (100 ft/min)", "0.484 m² (5.21 ft²)", "0.2 m (0.656 ft)".
[[nodiscard]] std::string room_size_text(double volume_m3);
[[nodiscard]] std::string air_flow_text(double flow_m3_h);
[[nodiscard]] std::string air_speed_text(double speed_m_s);
[[nodiscard]] std::string opening_text(double area_m2);
[[nodiscard]] std::string distance_text(double distance_m);

}  // namespace tonebath
