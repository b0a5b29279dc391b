// Bars that say how many and how sure, and how much a cause explains.
#pragma once

#include "window/widgets/ui.hpp"

#include <optional>
#include <utility>

namespace tonebath::window {

struct IntervalView {
    std::string before;  // "2 of 52 worn"
    std::string after;   // "1 to 13 in 100"
    double low = 0;      // 0..1
    double high = 1;
    std::optional<double> share;  // the count's own share: the ring
    int seen = 0;                 // under three: ash, and "too few to tell"
    Type before_type = Type::strong;
};
// r: one row; the bar's track lies between bar_x0 and bar_x1. Words before stand at r.x0, words after end at r.x1.
void interval_row(Ui& ui, const Rect& r, float bar_x0, float bar_x1, const IntervalView& view);
void interval_bar(Ui& ui, float x0, float x1, float mid_y, const IntervalView& view);

// A short filled bar: how much of something a cause explains, or how wide one part of a range is. share 0..1.
void share_bar(Ui& ui, const Rect& r, float share, Colour filled, bool track = true);

// A bar from the middle of its track, left below 0 and right above it, against the widest that a bar of this block reaches.
struct SignedBarView {
    double value = 0;
    double widest = 1;
    std::optional<std::pair<double, double>> range;  // a line with end ticks
    bool hollow = false;                             // outlined: what nothing explains
    Role colour = Role::steel;
};
void signed_bar(Ui& ui, const Rect& track, const SignedBarView& view);

// An upright scale from low to high with a filled column (air, dew point). share 0..1 from the bottom.
void column_scale(Ui& ui, const Rect& r, float share, Colour filled, bool fade_down);

}  // namespace tonebath::window
