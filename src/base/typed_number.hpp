// How the parsers of quantity_text.hpp take a typed text apart. For them alone.
#pragma once

#include "base/result.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace tonebath::typed {

// What a refusal says about the field that refuses.
struct Field {
    std::string_view name;      // as on screen
    std::string_view typed;     // the whole text as typed
    std::string_view noun;      // "a temperature"
    std::string_view examples;  // "\"55\", \"55.5 C\" or \"131 F\""
};

enum class Fractions { taken, refused };

struct Unit {
    std::string_view word;
    double factor = 1.0;  // times the base unit of its list
};
[[nodiscard]] std::optional<double> factor_of(std::span<const Unit> units, std::string_view word);

[[nodiscard]] Refusal refusal(const Field& field, std::string_view code, std::string message, std::string remedy = {});
[[nodiscard]] Refusal more_than_one(const Field& field);
[[nodiscard]] Refusal not_finite(const Field& field);
[[nodiscard]] Refusal unknown_unit(const Field& field, std::string_view unit);

// The text in plain signs: lower case, blanks single, "-" for the Unicode minus, "°f" for ℉, "1/2" for ½, the straight
// quotation mark for ″. Refuses what is empty, too long or written in digits other than 0 to 9.
[[nodiscard]] Result<std::string> plain_text(const Field& field);

struct Number {
    double value = 0.0;
    std::string_view digits;  // as they stand in the plain text, without sign; empty for a fraction
    std::size_t end = 0;      // where the plain text goes on, blanks skipped
};

// The number that begins at `from` in a plain text.
[[nodiscard]] Result<Number> take_number(const Field& field, std::string_view plain, std::size_t from,
                                         Fractions fractions);

// A number with at most a unit behind it. The unit is empty where none was typed, and has no points ("fl. oz." is "fl
// oz").
struct Quantity {
    double value = 0.0;
    std::string digits;
    std::string unit;
};
[[nodiscard]] Result<Quantity> take_quantity(const Field& field, Fractions fractions);

// The value itself, or text.not_finite.
[[nodiscard]] Result<double> finite(const Field& field, double value);

}  // namespace tonebath::typed
