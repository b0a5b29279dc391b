// How one jar ages: how fast its baths were week by week, what happened to it, and from when it is too weak to be useful.
#pragma once

#include "app/lot_ageing.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"

namespace tonebath::window {

void jar_block(Ui& ui, Rect place, const app::LotAgeing& lot, const Stamp& now, PlotState& plot_state, ScrollState& scroll);

}  // namespace tonebath::window
