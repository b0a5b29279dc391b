// Quantities that can be mixed up, each a type of its own. Made and read by naming the unit.
#pragma once

#include <compare>

namespace tonebath {

// Bath, room or metal temperature. No range is enforced here: model rules ask about odd values.
class Celsius {
public:
    static constexpr Celsius from_celsius(double value) { return Celsius(value); }
    static constexpr Celsius from_fahrenheit(double value) { return Celsius((value - 32.0) / 1.8); }
    [[nodiscard]] constexpr double celsius() const { return value_; }
    [[nodiscard]] constexpr double fahrenheit() const { return value_ * 1.8 + 32.0; }
    [[nodiscard]] constexpr double kelvin() const { return value_ + 273.15; }
    auto operator<=>(const Celsius&) const = default;

private:
    explicit constexpr Celsius(double value) : value_(value) {}
    double value_;
};

// Mass. 1 avoirdupois ounce = 28.349523125 g (International yard and pound agreement, 1959).
class Grams {
public:
    static constexpr double kGramsPerOunce = 28.349523125;
    static constexpr Grams from_grams(double value) { return Grams(value); }
    static constexpr Grams from_ounces(double value) { return Grams(value * kGramsPerOunce); }
    [[nodiscard]] constexpr double grams() const { return value_; }
    [[nodiscard]] constexpr double ounces() const { return value_ / kGramsPerOunce; }
    auto operator<=>(const Grams&) const = default;

private:
    explicit constexpr Grams(double value) : value_(value) {}
    double value_;
};

// Volume. 1 US gallon = 231 in3 = 3785.411784 ml; a US cup is 1/16 of it, a US fluid ounce 1/128 (NIST Handbook 44,
// App. C).
class Millilitres {
public:
    static constexpr double kMillilitresPerCup = 3785.411784 / 16.0;
    static constexpr double kMillilitresPerFluidOunce = 3785.411784 / 128.0;
    static constexpr Millilitres from_ml(double value) { return Millilitres(value); }
    static constexpr Millilitres from_cups(double value) { return Millilitres(value * kMillilitresPerCup); }
    static constexpr Millilitres from_fluid_ounces(double value) {
        return Millilitres(value * kMillilitresPerFluidOunce);
    }
    [[nodiscard]] constexpr double ml() const { return value_; }
    [[nodiscard]] constexpr double cups() const { return value_ / kMillilitresPerCup; }
    [[nodiscard]] constexpr double fluid_ounces() const { return value_ / kMillilitresPerFluidOunce; }
    auto operator<=>(const Millilitres&) const = default;

private:
    explicit constexpr Millilitres(double value) : value_(value) {}
    double value_;
};

// Length of wire, sheet or stone. 1 inch = 25.4 mm exactly.
// Wire gauge (AWG): d = 0.127 mm x 92^((36 - n)/39), ASTM B258.
class Millimetres {
public:
    static constexpr Millimetres from_mm(double value) { return Millimetres(value); }
    static constexpr Millimetres from_inches(double value) { return Millimetres(value * 25.4); }
    static Millimetres from_awg(double gauge);
    [[nodiscard]] constexpr double mm() const { return value_; }
    [[nodiscard]] constexpr double inches() const { return value_ / 25.4; }
    // Gauge as a real number; 00, 000 and 0000 are -1, -2 and -3. NaN where the length is not above zero.
    [[nodiscard]] double awg() const;
    auto operator<=>(const Millimetres&) const = default;

private:
    explicit constexpr Millimetres(double value) : value_(value) {}
    double value_;
};

// A length of time.
class Seconds {
public:
    static constexpr Seconds from_seconds(double value) { return Seconds(value); }
    static constexpr Seconds from_minutes(double value) { return Seconds(value * 60.0); }
    [[nodiscard]] constexpr double seconds() const { return value_; }
    [[nodiscard]] constexpr double minutes() const { return value_ / 60.0; }
    [[nodiscard]] constexpr double hours() const { return value_ / 3600.0; }
    auto operator<=>(const Seconds&) const = default;

private:
    explicit constexpr Seconds(double value) : value_(value) {}
    double value_;
};

}  // namespace tonebath
