// The strip as an axis of dose: records above it by lot, where each tone begins below it.
#pragma once

#include "app/views/tones_view.hpp"
#include "window/widgets/strip.hpp"

#include <optional>

namespace tonebath::window {

struct ToneAxisResult {
    std::optional<int> aim;  // the tone that was touched
};
[[nodiscard]] float tone_axis_height(const Ui& ui, const app::TonesView& view);
ToneAxisResult tone_axis(Ui& ui, const Rect& r, const app::TonesView& view, const DrawnScale& scale);

}  // namespace tonebath::window
