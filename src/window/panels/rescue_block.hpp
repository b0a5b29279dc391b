// What can still be done with a piece: each way with its state in word and mark, why, and where that comes from.
#pragma once

#include "app/views/planning_view.hpp"
#include "window/widgets/table.hpp"

namespace tonebath::window {

void rescue_block(Ui& ui, const Rect& r, const app::RescueView& view, ScrollState& scroll);

}  // namespace tonebath::window
