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
// decimal comma or point, blanks round and inside ("131 F", "131°F", "131F"), upper or lower case, "-" and "−". It
// refuses, naming field, value (as text.hpp's shown()) and remedy with an example:
//   "text.empty"         nothing but blanks
//   "text.too_long"      more than 64 bytes
//   "text.not_a_number"  no number, two numbers, digits that are not 0 to 9, a fraction where none is taken
//   "text.not_finite"    NaN, infinity, or more than a double holds ("1e999")
//   "text.unknown_unit"  a unit that this field does not take
//   "text.two_signs"     two decimal signs in one number ("1,234.5": which is it?)
//   "text.thousands"     one comma before three digits ("1,500": 1500 or 1.5?); both readings are offered as answers.
//                        "0,125" and "1.500" are taken as they stand.
// The plausible range of a value is not judged here.
[[nodiscard]] Result<double> parse_number(std::string_view field, std::string_view typed);
[[nodiscard]] Result<Celsius> parse_temperature(std::string_view field, std::string_view typed,
                                                const UnitChoice& units = {});
// "30 s", "90", "1:20" (minutes and seconds), "1:02:03", "2 min", "1.5 h", "1 min 20 s", "3 days", "2 weeks". A bare
// number is seconds.
[[nodiscard]] Result<Seconds> parse_duration(std::string_view field, std::string_view typed);
// "400 ml", "0,4 l", "1 cup", "1/2 cup", "1½ cups", "8 fl oz", cl, dl, cc; "oz" is a fluid ounce here. Cup and ounce
// are the US ones; pints, quarts and spoons differ between countries and are refused.
[[nodiscard]] Result<Millilitres> parse_volume(std::string_view field, std::string_view typed,
                                               const UnitChoice& units = {});
// "2 g", "1/2 oz" (avoirdupois), "1 ozt" and "3 dwt" (troy), "5 ct" (carat of 0.2 g), "1 lb", mg, kg.
[[nodiscard]] Result<Grams> parse_mass(std::string_view field, std::string_view typed, const UnitChoice& units = {});
// "6 mm", "0.5 in", "1/4 in", "20 awg", "20 ga", "20 g", "00 awg", "1.2 m", "3 cm".
[[nodiscard]] Result<Millimetres> parse_length(std::string_view field, std::string_view typed,
                                               const UnitChoice& units = {});

// An amount of a lot in the lot's own unit: grams, millilitres or drops. A bare number is in `unit`;
// grams take every unit of parse_mass, millilitres every unit of parse_volume, drops only drops.
enum class AmountUnit { g, ml, drops };
[[nodiscard]] Result<double> parse_amount(std::string_view field, std::string_view typed, AmountUnit unit);

// For the screen. "51.4 °C", "124.5 °F"; "43 s" up to 120 s, then "2:05", then "1:02:05"; "400 ml"; "2.0 g"; "12 mm".
// Digits after the point: 1 for temperature and mass below 100 g, 0 for volume from 10 ml and seconds from 10 s, 1
// below; ounces 2, fluid ounces 1. Lengths and cups drop trailing zeros: at most 2 digits for cups and below 10 mm, 1
// from 10 mm, 3 for inches, 1 for AWG. A length outside AWG 0000 to 56 is shown in mm. What is not finite shows as "?".
[[nodiscard]] std::string text_of(Celsius value, const UnitChoice& units = {});
[[nodiscard]] std::string text_of(Seconds value);
[[nodiscard]] std::string text_of(Millilitres value, const UnitChoice& units = {});
[[nodiscard]] std::string text_of(Grams value, const UnitChoice& units = {});
[[nodiscard]] std::string text_of(Millimetres value, const UnitChoice& units = {});
// Shortest text that reads back to the same double, point as decimal sign: for files, never for the screen.
[[nodiscard]] std::string exact_text(double value);
// `digits` (0..20) after the point, no exponent; "-0.0" never; "?" for what is not finite. The shortest decimal that
// reads back to the value is rounded half away from zero, so 2.675 is "2.68", as a person would round what was typed.
[[nodiscard]] std::string fixed_text(double value, int digits);

}  // namespace tonebath
