// Large digits in equal cells, so that they do not dance.
#pragma once

#include "window/widgets/ui.hpp"

namespace tonebath::window {

// Seconds up to 120, then min:s. Negative counts up with a sign ("+1").
[[nodiscard]] std::string timer_text(double seconds);
// True when the unit "s" stands after it.
[[nodiscard]] bool timer_in_seconds(double seconds);
// Digits with the baseline and left edge given; unit drawn after them in word letters, quiet. Returns the right end x.
float timer_digits(Ui& ui, Type type, Colour c, Vec2 at, std::string_view digits, std::string_view unit = {},
                   Type unit_type = Type::word);
// A figure with its unit after it ("51.4" "°C"); returns the right end x.
float figure_with_unit(Ui& ui, Vec2 at, std::string_view figure, std::string_view unit, Type unit_type = Type::lead);

}  // namespace tonebath::window
