// What would have matched: the seconds of a piece's last dip on a slider, and on the strip above it where the piece would
// have been then.
#pragma once

#include "app/views/planning_view.hpp"
#include "window/widgets/strip.hpp"
#include "window/widgets/table.hpp"

namespace tonebath::window {

struct MatchedState {
    std::string of;      // the piece and its stops that `at` belongs to
    std::size_t at = 0;  // stop of the slider
    ScrollState scroll;
};
// view: null while it is worked out; scale: null when its scale is not drawn.
void matched_block(Ui& ui, const Rect& r, const app::MatchedView* view, const DrawnScale* scale, MatchedState& state);

}  // namespace tonebath::window
