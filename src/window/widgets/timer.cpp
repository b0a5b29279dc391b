#include "window/widgets/timer.hpp"

#include <fmt/format.h>

#include <cmath>

namespace tonebath::window {

bool timer_in_seconds(double seconds) {
    return std::abs(seconds) < 120.5;
}

std::string timer_text(double seconds) {
    const bool past = seconds <= -0.5;
    const long whole = std::lround(std::abs(seconds));
    const std::string sign = past ? "+" : "";
    return whole <= 120 ? fmt::format("{}{}", sign, whole) : fmt::format("{}{}:{:02d}", sign, whole / 60, whole % 60);
}

float timer_digits(Ui& ui, Type type, Colour c, Vec2 at, std::string_view digits, std::string_view unit,
                   Type unit_type) {
    Painter& paint = ui.paint();
    const float x = at.x + paint.text(type, c, at, digits);
    if (unit.empty()) {
        return x;
    }
    const float gap = ui.fonts()[type].em_px * 0.07F;
    return x + gap + paint.text(unit_type, ui.colour(Role::quiet), {x + gap, at.y}, unit);
}

float figure_with_unit(Ui& ui, Vec2 at, std::string_view figure, std::string_view unit, Type unit_type) {
    Painter& paint = ui.paint();
    const float x = at.x + paint.text(Type::figure, ui.colour(Role::ink), at, figure);
    if (unit.empty()) {
        return x;
    }
    const float gap = ui.em(0.5625F);
    return x + gap + paint.text(unit_type, ui.colour(Role::text), {x + gap, at.y}, unit);
}

}  // namespace tonebath::window
