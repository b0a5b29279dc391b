// Numbers as people type and read them: "131 F", "1 cup", "1:20", "5,5". Never follows the system's locale.
#pragma once

#include "base/result.hpp"
#include "base/units.hpp"

#include <string>
#include <string_view>

namespace tonebath {

// What the studio reads first; a typed unit always wins over it.
struct UnitChoice {
    enum class Temperature { celsius, fahrenheit };
    enum class Volume { ml, cups, fluid_ounces };
    enum class Mass { grams, ounces };
    enum class Length { mm, awg, inches };
    Temperature temperature = Temperature::celsius;
    Volume volume = Volume::ml;
    Mass mass = Mass::grams;
    Length length = Length::mm;
};

// Each parser takes the field's name on screen, the text as typed and the unit meant when none is typed. It accepts a
// decimal comma or point, blanks round and inside ("131 F", "131°F", "131F"), upper or lower case. It refuses, naming
// field, value and remedy: empty text, no number, two numbers, NaN and infinity, an unknown unit, more than 64 bytes,
// and both a comma and a point in one number ("1,234.5": which is the decimal sign?). Codes: "text.empty",
// "text.not_a_number", "text.not_finite", "text.unknown_unit", "text.too_long", "text.two_signs".
// The plausible range of a value is not judged here.
[[nodiscard]] Result<double> parse_number(std::string_view field, std::string_view typed);
[[nodiscard]] Result<Celsius> parse_temperature(std::string_view field, std::string_view typed, const UnitChoice& units = {});
// "30 s", "90", "1:20" (minutes and seconds), "1:02:03", "2 min", "1.5 h". A bare number is seconds.
[[nodiscard]] Result<Seconds> parse_duration(std::string_view field, std::string_view typed);
[[nodiscard]] Result<Millilitres> parse_volume(std::string_view field, std::string_view typed, const UnitChoice& units = {});
[[nodiscard]] Result<Grams> parse_mass(std::string_view field, std::string_view typed, const UnitChoice& units = {});
// "6 mm", "0.5 in", "20 awg", "20 ga", "1.2 m", "3 cm".
[[nodiscard]] Result<Millimetres> parse_length(std::string_view field, std::string_view typed, const UnitChoice& units = {});

// An amount of a lot in the lot's own unit: grams, millilitres or drops. A bare number is in `unit`.
enum class AmountUnit { g, ml, drops };
[[nodiscard]] Result<double> parse_amount(std::string_view field, std::string_view typed, AmountUnit unit);

// For the screen. "51.4 °C", "124.5 °F"; "43 s" up to 120 s, then "2:05", then "1:02:05"; "400 ml"; "2.0 g"; "12 mm".
// Digits after the point: 1 for temperature and mass below 100 g, 0 for volume from 10 ml and seconds from 10 s.
[[nodiscard]] std::string text_of(Celsius value, const UnitChoice& units = {});
[[nodiscard]] std::string text_of(Seconds value);
[[nodiscard]] std::string text_of(Millilitres value, const UnitChoice& units = {});
[[nodiscard]] std::string text_of(Grams value, const UnitChoice& units = {});
[[nodiscard]] std::string text_of(Millimetres value, const UnitChoice& units = {});
// Shortest text that reads back to the same double, point as decimal sign: for files, never for the screen.
[[nodiscard]] std::string exact_text(double value);
// `digits` after the point, rounded half away from zero, no exponent; "-0.0" never.
[[nodiscard]] std::string fixed_text(double value, int digits);

}  // namespace tonebath
