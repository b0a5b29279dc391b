#include "base/air_quantity.hpp"

#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "base/typed_number.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <span>
#include <vector>

namespace tonebath {

namespace {

using typed::Field;
using typed::Fractions;
using typed::Unit;

constexpr double kInch_m = 0.0254;

constexpr std::array kSides = {
    Unit{"m", 1.0},          Unit{"metre", 1.0},    Unit{"metres", 1.0}, Unit{"meter", 1.0},    Unit{"meters", 1.0},
    Unit{"cm", 0.01},        Unit{"mm", 0.001},     Unit{"ft", kFoot_m}, Unit{"foot", kFoot_m}, Unit{"feet", kFoot_m},
    Unit{"'", kFoot_m},      Unit{"in", kInch_m},   Unit{"inch", kInch_m}, Unit{"inches", kInch_m},
    Unit{"\"", kInch_m},
};
constexpr std::array kRooms = {
    Unit{"m3", 1.0},
    Unit{"cubicmetres", 1.0},
    Unit{"cubicmeters", 1.0},
    Unit{"cum", 1.0},
    Unit{"ft3", kCubicFoot_m3},
    Unit{"cuft", kCubicFoot_m3},
    Unit{"cubicfeet", kCubicFoot_m3},
    Unit{"l", 0.001},
};
constexpr std::array kAreas = {
    Unit{"m2", 1.0},    Unit{"sqm", 1.0},  Unit{"ft2", kFoot_m* kFoot_m}, Unit{"sqft", kFoot_m* kFoot_m},
    Unit{"cm2", 1e-4},  Unit{"in2", kInch_m* kInch_m}, Unit{"sqin", kInch_m* kInch_m},
};
constexpr std::array kFlows = {
    Unit{"m3/h", 1.0},
    Unit{"m3/hour", 1.0},
    Unit{"m3h", 1.0},
    Unit{"m3/min", 60.0},
    Unit{"m3/s", 3600.0},
    Unit{"l/s", 3.6},
    Unit{"l/min", 0.06},
    Unit{"cfm", 60.0 * kCubicFoot_m3},
    Unit{"ft3/min", 60.0 * kCubicFoot_m3},
    Unit{"ft3/h", kCubicFoot_m3},
};
constexpr std::array kSpeeds = {
    Unit{"m/s", 1.0}, Unit{"m/min", 1.0 / 60.0}, Unit{"ft/min", kFoot_m / 60.0}, Unit{"fpm", kFoot_m / 60.0},
    Unit{"ft/s", kFoot_m},
};

constexpr double kUsualCeiling_m = 2.4;

// "m³ / h" as "m3/h": no blanks, points or powers, "per" as a stroke.
std::string plain_unit(std::string_view unit) {
    std::string plain(unit);
    for (const auto& [from, to] : {std::pair<std::string_view, std::string_view>{"³", "3"}, {"²", "2"}, {"′", "'"},
                                   {"^", ""}, {"per", "/"}, {" ", ""}, {".", ""}}) {
        for (std::size_t at = plain.find(from); at != std::string::npos; at = plain.find(from, at + to.size())) {
            plain.replace(at, from.size(), to);
        }
    }
    return plain;
}

struct Amount {
    double value = 0.0;
    std::string unit;
};
Result<Amount> amount_of(const Field& field, std::string_view text) {
    const Field part{field.name, text, field.noun, field.examples};
    const Result<std::string> plain = typed::plain_text(part);
    if (!plain) {
        return plain.error();
    }
    const Result<typed::Number> number = typed::take_number(field, *plain, 0, Fractions::taken);
    if (!number) {
        return number.error();
    }
    return Amount{number->value, plain_unit(std::string_view(*plain).substr(number->end))};
}

Result<double> in_unit(const Field& field, std::span<const Unit> units) {
    const Result<Amount> amount = amount_of(field, field.typed);
    if (!amount) {
        return amount.error();
    }
    const auto factor = amount->unit.empty() ? std::optional(1.0) : typed::factor_of(units, amount->unit);
    return factor ? typed::finite(field, amount->value * *factor) : typed::unknown_unit(field, amount->unit);
}

// "6.0 × 3.2 × 2.4 m" as its sides; empty when there is only one.
std::vector<std::string> sides_typed(std::string_view text) {
    std::string plain(text);
    for (const std::string_view sign : {"×", "*", " by ", "X"}) {
        for (std::size_t at = plain.find(sign); at != std::string::npos; at = plain.find(sign, at + 1)) {
            plain.replace(at, sign.size(), "x");
        }
    }
    std::vector<std::string> sides = split(plain, 'x');
    return sides.size() > 1 ? sides : std::vector<std::string>{};
}

Result<std::vector<double>> sides_in_m(const Field& field, const std::vector<std::string>& typed_sides) {
    std::vector<Amount> amounts;
    for (const std::string& side : typed_sides) {
        const Result<Amount> amount = amount_of(field, side);
        if (!amount) {
            return amount.error();
        }
        amounts.push_back(*amount);
    }
    std::vector<double> sides;
    for (const Amount& amount : amounts) {
        const std::string& unit = amount.unit.empty() ? amounts.back().unit : amount.unit;
        const auto factor = unit.empty() ? std::optional(1.0) : typed::factor_of(kSides, unit);
        if (!factor) {
            return typed::unknown_unit(field, unit);
        }
        sides.push_back(amount.value * *factor);
    }
    return sides;
}

Refusal floor_area(const Field& field, double area_m2) {
    Refusal refusal = typed::refusal(
        field, "room.floor_area", "that is a floor, and a room is as high as its ceiling.",
        fmt::format("Under a ceiling of {} m it would be {}; type length × width × height.",
                    fixed_text(kUsualCeiling_m, 1), room_size_text(area_m2 * kUsualCeiling_m)));
    refusal.answers = {fixed_text(area_m2 * kUsualCeiling_m, 1) + " m3"};
    return refusal;
}

// Three digits that matter, never an exponent.
std::string three_digits(double value) {
    const double size = std::abs(value);
    const std::string text = fixed_text(value, size >= 99.95 ? 0 : size >= 9.995 ? 1 : size >= 0.9995 ? 2 : 3);
    const std::size_t last = text.find('.') == std::string::npos ? std::string::npos : text.find_last_not_of('0');
    return last == std::string::npos ? text : text.substr(0, text[last] == '.' ? last : last + 1);
}

std::string in_both(double value, std::string_view unit, double other, std::string_view other_unit) {
    return fmt::format("{} {} ({} {})", three_digits(value), unit, three_digits(value * other), other_unit);
}

}  // namespace

Result<RoomSize> parse_room_size(std::string_view name, std::string_view typed_text) {
    const Field field{name, typed_text, "the size of a room", "\"6.0 × 3.2 × 2.4 m\", \"46 m³\" or \"1600 ft³\""};
    if (const std::vector<std::string> parts = sides_typed(typed_text); !parts.empty()) {
        const Result<std::vector<double>> sides = sides_in_m(field, parts);
        if (!sides) {
            return sides.error();
        }
        if (sides->size() == 2) {
            return floor_area(field, (*sides)[0] * (*sides)[1]);
        }
        if (sides->size() != 3) {
            return typed::more_than_one(field);
        }
        const Result<double> volume_m3 = typed::finite(field, (*sides)[0] * (*sides)[1] * (*sides)[2]);
        if (!volume_m3) {
            return volume_m3.error();
        }
        return RoomSize{*volume_m3, SizeTyped::sides};
    }
    const Result<Amount> amount = amount_of(field, typed_text);
    if (!amount) {
        return amount.error();
    }
    if (const auto area = typed::factor_of(kAreas, amount->unit)) {
        return floor_area(field, amount->value * *area);
    }
    const Result<double> volume_m3 = in_unit(field, kRooms);
    if (!volume_m3) {
        return volume_m3.error();
    }
    return RoomSize{*volume_m3, amount->unit.empty() ? SizeTyped::bare : SizeTyped::with_unit};
}

Result<double> parse_air_flow(std::string_view field, std::string_view typed_text) {
    return in_unit({field, typed_text, "a flow of air", "\"276 m³/h\", \"77 l/s\" or \"162 cfm\""}, kFlows);
}

Result<double> parse_air_speed(std::string_view field, std::string_view typed_text) {
    return in_unit({field, typed_text, "a speed of air", "\"0.5 m/s\" or \"100 ft/min\""}, kSpeeds);
}

Result<double> parse_opening(std::string_view name, std::string_view typed_text) {
    const Field field{name, typed_text, "the size of an opening", "\"0.6 × 0.4 m\", \"30 × 25 in\" or \"0.05 m²\""};
    const std::vector<std::string> parts = sides_typed(typed_text);
    if (parts.empty()) {
        return in_unit(field, kAreas);
    }
    const Result<std::vector<double>> sides = sides_in_m(field, parts);
    if (!sides) {
        return sides.error();
    }
    return sides->size() == 2 ? typed::finite(field, (*sides)[0] * (*sides)[1])
                              : Result<double>(typed::more_than_one(field));
}

Result<double> parse_distance(std::string_view field, std::string_view typed_text) {
    return in_unit({field, typed_text, "a distance", "\"0.2 m\", \"20 cm\" or \"8 in\""}, kSides);
}

std::string room_size_text(double volume_m3) {
    return in_both(volume_m3, "m³", 1.0 / kCubicFoot_m3, "ft³");
}

std::string air_flow_text(double flow_m3_h) {
    return in_both(flow_m3_h, "m³/h", 1.0 / (60.0 * kCubicFoot_m3), "ft³/min");
}

std::string air_speed_text(double speed_m_s) {
    return in_both(speed_m_s, "m/s", 60.0 / kFoot_m, "ft/min");
}

std::string opening_text(double area_m2) {
    return in_both(area_m2, "m²", 1.0 / (kFoot_m * kFoot_m), "ft²");
}

std::string distance_text(double distance_m) {
    return in_both(distance_m, "m", 1.0 / kFoot_m, "ft");
}

}  // namespace tonebath
