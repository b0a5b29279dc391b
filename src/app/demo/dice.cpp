#include "app/demo/dice.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tonebath::app {

double Dice::even() {
    return static_cast<double>(engine_() >> 11U) * 0x1.0p-53;
}

double Dice::normal() {
    const double radius = std::sqrt(-2.0 * std::log(1.0 - even()));
    const double angle = 2.0 * std::numbers::pi * even();
    return std::clamp(radius * std::cos(angle), -3.0, 3.0);
}

}  // namespace tonebath::app
