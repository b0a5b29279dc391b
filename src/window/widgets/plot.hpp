// A small plot: what was measured, what is expected, and now. Axis names and units in words, no legend box.
#pragma once

#include "window/widgets/ui.hpp"

namespace tonebath::window {

enum class AxisKind : std::uint8_t { linear, log, time_of_day };  // time_of_day: hours, shown as 09:30
struct Axis {
    AxisKind kind = AxisKind::linear;
    double low = 0;
    double high = 1;
    std::string name;  // in words; drawn above the plot for y, under it for x when not empty
    std::string unit;  // put after every tick ("°C") or after the first only ("s")
    bool unit_on_all = true;
    int most_ticks = 5;
    bool labels = true;
    bool grid = true;  // of the y axis; four lines at most
};

// Ticks at 1, 2 or 5 times a power of ten (log: 1 and 3 a decade, or decades when there are many; time: whole minutes,
// quarters, hours). Never more than most_ticks + 1, all inside [low, high].
[[nodiscard]] std::vector<double> axis_ticks(const Axis& axis);
[[nodiscard]] std::string tick_text(const Axis& axis, double value);
// Share 0..1 of the way along the axis; log axes take positive values only (others give nothing).
[[nodiscard]] std::optional<double> axis_share(const Axis& axis, double value);
[[nodiscard]] double axis_value(const Axis& axis, double share);

struct PlotPoint {
    double x = 0;
    double y = 0;
};
struct PlotLine {
    std::string name;               // for the read-out and the export
    std::vector<PlotPoint> points;  // in order of x
    bool expected = false;          // dots
    bool axes_look = false;         // brass: the worst case
    bool thin = false;
    std::string words;  // written at words_at
    std::optional<PlotPoint> words_at;
};
struct PlotMarks {
    std::string name;
    std::vector<PlotPoint> points;
    bool filled = false;  // the plan's own point, copper
    std::string words;    // beside the first one
};
struct PlotBand {
    std::string name;
    std::vector<PlotPoint> low;
    std::vector<PlotPoint> high;  // same x as low
};
struct PlotNow {
    double x = 0;
    std::string words;                   // "now 45.9 °C"
    std::optional<double> shade_from_x;  // a copper shade from here to now
};
struct PlotLimit {
    double y = 0;
    std::string figure;  // "10"
    std::string words;   // "ceiling over 10 min: the limit used"
    enum class Weight : std::uint8_t { used, plain, context } weight = Weight::plain;
    bool words_below = false;
};
struct PlotSpan {  // a time span with an end tick on both sides, at one height
    double x0 = 0, x1 = 0, y = 0;
    std::string words;
};
struct PlotView {
    std::string id;
    std::string label;  // words for the probe
    Axis x;
    Axis y;
    std::vector<PlotBand> bands;
    std::vector<PlotLine> lines;
    std::vector<PlotMarks> marks;
    std::vector<PlotLimit> limits;
    std::vector<PlotSpan> spans;
    std::optional<PlotNow> now;
    bool can_move = true;  // wheel zooms along x, drag pans, Home or double click fits
    Role on = Role::slab;  // what it stands on
};
// What the eye has moved to; empty ranges mean "as given in the view".
struct PlotState {
    double low = 0;
    double high = 0;
    bool moved = false;
    std::optional<Vec2> drag_from;
    double drag_low = 0, drag_high = 0;
    int read_index = -1;  // the point the arrows stand on, while the plot has the keys
};
// r: with room for tick words (left 3.25 em, below 1.5 em). Under the pointer, or while it has the keys, Ctrl C copies what
// it shows as CSV and Ctrl S keeps it as a picture and CSV.
void plot(Ui& ui, const Rect& r, const PlotView& view, PlotState& state);
[[nodiscard]] Rect plot_area(const Ui& ui, const Rect& r, const PlotView& view);  // inside the axes
void fit(PlotState& state);
// Axis that holds all points with a little room; log axes look at positive values only.
[[nodiscard]] Axis fitted_axis(Axis axis, const std::vector<double>& values);
// Everything the plot shows, as text: a head with names and units, one row a point.
[[nodiscard]] std::string plot_csv(const PlotView& view);

}  // namespace tonebath::window
