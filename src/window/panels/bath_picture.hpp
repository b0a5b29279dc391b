// The portrait of a bath: what hung in it, its temperature and its strength on one time line.
#pragma once

#include "app/views/baths_view.hpp"
#include "window/panels/scales.hpp"
#include "window/widgets/plot.hpp"

namespace tonebath::window {

void bath_picture(Ui& ui, const Rect& r, const app::BathPortrait& portrait, const Scales& scales, PlotState& state);

}  // namespace tonebath::window
