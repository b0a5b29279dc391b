// Why a piece came out otherwise than its batch: each cause as a bar from the middle, the rest that nothing explains drawn
// apart from them with its range.
#pragma once

#include "app/views/explain_view.hpp"
#include "window/widgets/table.hpp"

namespace tonebath::window {

// view: null while it is worked out. Fills r with a card that scrolls.
void why_block(Ui& ui, const Rect& r, const app::WhyView* view, ScrollState& scroll);

}  // namespace tonebath::window
