// Temperatures that cannot be, or that look like the other scale.
#pragma once

#include "base/quantity_text.hpp"
#include "model/rules/rule.hpp"

namespace tonebath::rules {

// A bath of water: 0 to 100 °C. A bare number from 100 to 212 looks like °F and is asked about
// ("bath.temp.looks_fahrenheit", answers "60.0 °C" and "Blank"); with its unit typed it is refused
// ("bath.temp.above_boiling"). Below 0 °C: "bath.temp.frozen". `units` is what a bare number was taken for.
[[nodiscard]] Question bath_temp(const Typed& typed, Celsius temp, const UnitChoice& units);
// A room: -20 to 50 °C; a bare number from 50 to 110 looks like °F ("room.temp.looks_fahrenheit").
[[nodiscard]] Question room_temp(const Typed& typed, Celsius temp, const UnitChoice& units);
// Water warms in a hotter room instead of cooling: "bath.room_hotter".
[[nodiscard]] Question room_against_bath(const Typed& room_typed, std::optional<Celsius> room,
                                         std::optional<Celsius> bath);

// Where water boils at this height above the sea, 0 to 5000 m. Pressure after the standard atmosphere (ISO 2533:
// 1013.25 hPa, 288.15 K, 6.5 K/km), boiling point after Antoine's equation for water (constants from memory:
// log10(p/mmHg) = 8.07131 - 1730.63/(233.426 + t)); within 0.2 °C of 100 °C at the sea and of 95.0 °C at 1500 m.
[[nodiscard]] Celsius boiling_point(double altitude_m);

}  // namespace tonebath::rules
