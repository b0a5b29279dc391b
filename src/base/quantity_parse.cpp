#include "base/quantity_text.hpp"

#include "base/typed_number.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <span>
#include <vector>

namespace tonebath {

namespace {

using typed::Field;
using typed::Fractions;
using typed::Unit;

constexpr std::array kMassUnits = {
    Unit{"g", 1.0},
    Unit{"gram", 1.0},
    Unit{"grams", 1.0},
    Unit{"gramme", 1.0},
    Unit{"grammes", 1.0},
    Unit{"mg", 0.001},
    Unit{"kg", 1000.0},
    Unit{"oz", Grams::kGramsPerOunce},
    Unit{"ounce", Grams::kGramsPerOunce},
    Unit{"ounces", Grams::kGramsPerOunce},
    // 1 lb = 453.59237 g (International yard and pound agreement, 1959).
    Unit{"lb", 453.59237},
    Unit{"lbs", 453.59237},
    Unit{"pound", 453.59237},
    Unit{"pounds", 453.59237},
    // 1 troy ounce = 480 grains = 31.1034768 g, 1 pennyweight = 24 grains (NIST Handbook 44, Appendix C).
    Unit{"ozt", 31.1034768},
    Unit{"oz t", 31.1034768},
    Unit{"troy oz", 31.1034768},
    Unit{"troy ounce", 31.1034768},
    Unit{"troy ounces", 31.1034768},
    Unit{"dwt", 1.55517384},
    // The metric carat of 1907.
    Unit{"ct", 0.2},
    Unit{"carat", 0.2},
    Unit{"carats", 0.2},
};

constexpr std::array kVolumeUnits = {
    Unit{"ml", 1.0},
    Unit{"millilitre", 1.0},
    Unit{"millilitres", 1.0},
    Unit{"milliliter", 1.0},
    Unit{"milliliters", 1.0},
    Unit{"cc", 1.0},
    Unit{"cm3", 1.0},
    Unit{"cm^3", 1.0},
    Unit{"cm³", 1.0},
    Unit{"cl", 10.0},
    Unit{"dl", 100.0},
    Unit{"l", 1000.0},
    Unit{"litre", 1000.0},
    Unit{"litres", 1000.0},
    Unit{"liter", 1000.0},
    Unit{"liters", 1000.0},
    Unit{"cup", Millilitres::kMillilitresPerCup},
    Unit{"cups", Millilitres::kMillilitresPerCup},
    Unit{"fl oz", Millilitres::kMillilitresPerFluidOunce},
    Unit{"floz", Millilitres::kMillilitresPerFluidOunce},
    Unit{"fluid ounce", Millilitres::kMillilitresPerFluidOunce},
    Unit{"fluid ounces", Millilitres::kMillilitresPerFluidOunce},
    Unit{"oz", Millilitres::kMillilitresPerFluidOunce},
};

constexpr std::array kLengthUnits = {
    Unit{"mm", 1.0},      Unit{"millimetre", 1.0},  Unit{"millimetres", 1.0}, Unit{"millimeter", 1.0},
    Unit{"cm", 10.0},     Unit{"m", 1000.0},        Unit{"in", 25.4},         Unit{"inch", 25.4},
    Unit{"inches", 25.4}, Unit{"millimeters", 1.0}, Unit{"\"", 25.4},
};

constexpr std::array kTimeUnits = {
    Unit{"s", 1.0},     Unit{"sec", 1.0},     Unit{"secs", 1.0},     Unit{"second", 1.0},    Unit{"seconds", 1.0},
    Unit{"m", 60.0},    Unit{"min", 60.0},    Unit{"mins", 60.0},    Unit{"minute", 60.0},   Unit{"minutes", 60.0},
    Unit{"h", 3600.0},  Unit{"hr", 3600.0},   Unit{"hrs", 3600.0},   Unit{"hour", 3600.0},   Unit{"hours", 3600.0},
    Unit{"d", 86400.0}, Unit{"day", 86400.0}, Unit{"days", 86400.0}, Unit{"week", 604800.0}, Unit{"weeks", 604800.0},
};

constexpr std::array<std::string_view, 4> kGaugeWords = {"awg", "ga", "gauge", "g"};

// The value in the base unit of the list; `bare` is the factor of a number without a unit.
Result<double> in_base_unit(const Field& field, std::span<const Unit> units, double bare) {
    const Result<typed::Quantity> quantity = typed::take_quantity(field, Fractions::taken);
    if (!quantity) {
        return quantity.error();
    }
    const std::optional<double> factor = quantity->unit.empty() ? bare : typed::factor_of(units, quantity->unit);
    if (!factor) {
        return typed::unknown_unit(field, quantity->unit);
    }
    return typed::finite(field, quantity->value * *factor);
}

double bare_volume_factor(UnitChoice::Volume choice) {
    switch (choice) {
        case UnitChoice::Volume::cups:
            return Millilitres::kMillilitresPerCup;
        case UnitChoice::Volume::fluid_ounces:
            return Millilitres::kMillilitresPerFluidOunce;
        case UnitChoice::Volume::ml:
            break;
    }
    return 1.0;
}

Field volume_field(std::string_view name, std::string_view typed) {
    return {name, typed, "a volume", "\"400 ml\", \"0.4 l\" or \"1 cup\""};
}

Field mass_field(std::string_view name, std::string_view typed) {
    return {name, typed, "a weight", "\"2.5 g\" or \"0.1 oz\""};
}

// "1:20" and "1:02:03": whole numbers before the last colon, two digits after each colon.
Result<Seconds> clock_reading(const Field& field, std::string_view plain) {
    const auto refused = [&field] {
        return typed::refusal(
            field, "text.not_a_number", "that is not minutes and seconds as they are read here.",
            "Type two digits from 00 to 59 after each colon and no unit, for example \"1:20\" or \"1:02:03\".");
    };
    const bool negative = plain.starts_with('-');
    if (negative) {
        plain.remove_prefix(1);
    }
    double total_s = 0.0;
    for (int part = 0;; ++part) {
        const std::size_t colon = plain.find(':');
        const bool last = colon == std::string_view::npos;
        const std::string_view digits = plain.substr(0, colon);
        const std::size_t whole = std::min(digits.find_first_not_of("0123456789"), digits.size());
        const std::string_view rest = digits.substr(whole);
        const bool plain_digits = rest.empty() || (last && rest.size() > 1 && (rest[0] == '.' || rest[0] == ',') &&
                                                   rest.find_first_not_of("0123456789", 1) == std::string_view::npos);
        if (whole == 0 || !plain_digits || (part > 0 && whole != 2) || part > 2 || (part == 0 && last)) {
            return refused();
        }
        std::string number(digits);
        std::replace(number.begin(), number.end(), ',', '.');
        const Result<typed::Number> value = typed::take_number(field, number, 0, Fractions::refused);
        if (!value) {
            return value.error();
        }
        if (part > 0 && value->value >= 60.0) {
            return refused();
        }
        total_s = total_s * 60.0 + value->value;
        if (last) {
            return Seconds::from_seconds(negative ? -total_s : total_s);
        }
        plain.remove_prefix(colon + 1);
    }
}

}  // namespace

Result<double> parse_number(std::string_view field, std::string_view typed) {
    const Field about{field, typed, "a number", "\"5\" or \"5.5\""};
    const Result<typed::Quantity> quantity = typed::take_quantity(about, Fractions::refused);
    if (!quantity) {
        return quantity.error();
    }
    if (!quantity->unit.empty()) {
        return typed::unknown_unit(about, quantity->unit);
    }
    return quantity->value;
}

Result<Celsius> parse_temperature(std::string_view field, std::string_view typed, const UnitChoice& units) {
    const Field about{field, typed, "a temperature", "\"55 C\" or \"131 F\""};
    const Result<typed::Quantity> quantity = typed::take_quantity(about, Fractions::refused);
    if (!quantity) {
        return quantity.error();
    }
    std::string_view unit = quantity->unit;
    for (const std::string_view degree : {"°", "degrees", "degree", "deg", " "}) {
        if (unit.starts_with(degree)) {
            unit.remove_prefix(degree.size());
        }
    }
    const bool in_celsius = unit == "c" || unit == "celsius" || unit == "centigrade";
    const bool in_fahrenheit = unit == "f" || unit == "fahrenheit";
    if (!unit.empty() && !in_celsius && !in_fahrenheit) {
        return typed::unknown_unit(about, quantity->unit);
    }
    const bool fahrenheit = unit.empty() ? units.temperature == UnitChoice::Temperature::fahrenheit : in_fahrenheit;
    return fahrenheit ? Celsius::from_fahrenheit(quantity->value) : Celsius::from_celsius(quantity->value);
}

Result<Seconds> parse_duration(std::string_view field, std::string_view typed) {
    const Field about{field, typed, "a length of time", "\"30 s\", \"1:20\" or \"2 min\""};
    const Result<std::string> plain = typed::plain_text(about);
    if (!plain) {
        return plain.error();
    }
    if (plain->find(':') != std::string::npos) {
        return clock_reading(about, *plain);
    }
    // "1 h 20 min": each part smaller than the one before it.
    double total_s = 0.0;
    double last_factor = 0.0;
    std::size_t at = 0;
    while (at < plain->size()) {
        const Result<typed::Number> number = typed::take_number(about, *plain, at, Fractions::refused);
        if (!number) {
            return number.error();
        }
        const std::size_t unit_end = std::min(plain->find_first_of("0123456789", number->end), plain->size());
        std::string unit = plain->substr(number->end, unit_end - number->end);
        std::erase_if(unit, [](char c) { return c == ' ' || c == '.'; });
        const bool whole_text = at == 0 && unit_end == plain->size();
        if (unit.empty() && !whole_text) {
            return typed::more_than_one(about);
        }
        const std::optional<double> factor = unit.empty() ? 1.0 : typed::factor_of(kTimeUnits, unit);
        if (!factor) {
            return unit_end == plain->size() ? typed::unknown_unit(about, unit) : typed::more_than_one(about);
        }
        if (at > 0 && (*factor >= last_factor || total_s < 0.0)) {
            return typed::more_than_one(about);
        }
        total_s += number->value * *factor;
        last_factor = *factor;
        at = unit_end;
    }
    const Result<double> finite_s = typed::finite(about, total_s);
    if (!finite_s) {
        return finite_s.error();
    }
    return Seconds::from_seconds(*finite_s);
}

Result<Millilitres> parse_volume(std::string_view field, std::string_view typed, const UnitChoice& units) {
    const Result<double> ml = in_base_unit(volume_field(field, typed), kVolumeUnits, bare_volume_factor(units.volume));
    if (!ml) {
        return ml.error();
    }
    return Millilitres::from_ml(*ml);
}

Result<Grams> parse_mass(std::string_view field, std::string_view typed, const UnitChoice& units) {
    const double bare = units.mass == UnitChoice::Mass::ounces ? Grams::kGramsPerOunce : 1.0;
    const Result<double> grams = in_base_unit(mass_field(field, typed), kMassUnits, bare);
    if (!grams) {
        return grams.error();
    }
    return Grams::from_grams(*grams);
}

Result<Millimetres> parse_length(std::string_view field, std::string_view typed, const UnitChoice& units) {
    const Field about{field, typed, "a length", "\"6 mm\", \"0.5 in\" or \"20 awg\""};
    const Result<typed::Quantity> quantity = typed::take_quantity(about, Fractions::taken);
    if (!quantity) {
        return quantity.error();
    }
    const bool bare = quantity->unit.empty();
    const bool gauge = bare ? units.length == UnitChoice::Length::awg
                            : std::find(kGaugeWords.begin(), kGaugeWords.end(), quantity->unit) != kGaugeWords.end();
    double length_mm = 0.0;
    if (gauge) {
        // "00" is one step thicker than "0", and so on.
        const std::string& digits = quantity->digits;
        const bool zeros = digits.size() > 1 && digits.find_first_not_of('0') == std::string::npos;
        const double number = zeros ? 1.0 - static_cast<double>(digits.size()) : quantity->value;
        length_mm = Millimetres::from_awg(number).mm();
    } else {
        const double bare_factor = units.length == UnitChoice::Length::inches ? 25.4 : 1.0;
        const std::optional<double> factor = bare ? bare_factor : typed::factor_of(kLengthUnits, quantity->unit);
        if (!factor) {
            return typed::unknown_unit(about, quantity->unit);
        }
        length_mm = quantity->value * *factor;
    }
    const Result<double> finite_mm = typed::finite(about, length_mm);
    if (!finite_mm) {
        return finite_mm.error();
    }
    return Millimetres::from_mm(*finite_mm);
}

Result<double> parse_amount(std::string_view field, std::string_view typed, AmountUnit unit) {
    constexpr std::array kDrops = {Unit{"drop", 1.0}, Unit{"drops", 1.0}};
    switch (unit) {
        case AmountUnit::g:
            return in_base_unit(mass_field(field, typed), kMassUnits, 1.0);
        case AmountUnit::ml:
            return in_base_unit(volume_field(field, typed), kVolumeUnits, 1.0);
        case AmountUnit::drops:
            break;
    }
    return in_base_unit({field, typed, "a number of drops", "\"6\" or \"6 drops\""}, kDrops, 1.0);
}

}  // namespace tonebath
