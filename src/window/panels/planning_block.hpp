// A plan beyond one dip: its words, and the table below them, in one card that scrolls.
#pragma once

#include "app/views/planning_view.hpp"
#include "window/widgets/table.hpp"

namespace tonebath::window {

void planning_block(Ui& ui, const Rect& r, std::string_view id, const app::PlanningView& view, ScrollState& scroll);

}  // namespace tonebath::window
