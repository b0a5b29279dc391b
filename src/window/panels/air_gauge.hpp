// The worst case of the bath in use on an upright scale of ppm, beside what that much gas does and the limit it is held
// against.
#pragma once

#include "app/views/safety_view.hpp"
#include "window/widgets/ui.hpp"

namespace tonebath::window {

// A card. Without a figure it says what is missing.
void air_gauge(Ui& ui, const Rect& place, const app::SafetyView& view);

}  // namespace tonebath::window
