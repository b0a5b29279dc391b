#include "window/widgets/plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr double kLeastZoom = 1.0 / 400;

// The axes as seen now, and what stands where.
struct Frame {
    Rect area;
    Axis x;
    Axis y;
    [[nodiscard]] std::optional<Vec2> at(PlotPoint point) const {
        const auto sx = axis_share(x, point.x);
        const auto sy = axis_share(y, point.y);
        if (!sx || !sy) {
            return std::nullopt;
        }
        return Vec2{area.x0 + area.w() * static_cast<float>(std::clamp(*sx, -3.0, 4.0)),
                    area.y1 - area.h() * static_cast<float>(std::clamp(*sy, -3.0, 4.0))};
    }
    [[nodiscard]] std::vector<Vec2> along(const std::vector<PlotPoint>& points) const {
        std::vector<Vec2> out;
        for (const PlotPoint point : points) {
            if (const auto place = at(point)) {
                out.push_back(*place);
            }
        }
        return out;
    }
};

void move_view(Ui& ui, const PlotView& view, PlotState& state, const Rect& area, const Touch& touch) {
    Axis now = view.x;
    if (state.moved) {
        now.low = state.low;
        now.high = state.high;
    }
    const auto set = [&](double low, double high) {
        state.low = low;
        state.high = high;
        state.moved = true;
    };
    if (const float wheel = ui.take_wheel(area); wheel != 0) {
        const double share = static_cast<double>((touch.at.x - area.x0) / std::max(1.0F, area.w()));
        const double factor = std::pow(0.8, static_cast<double>(wheel));
        const double low = axis_value(now, share - share * factor);
        const double high = axis_value(now, share + (1 - share) * factor);
        if (high - low > (view.x.high - view.x.low) * kLeastZoom && high - low < (view.x.high - view.x.low) * 4) {
            set(low, high);
        }
    }
    if (touch.pressed) {
        state.drag_from = touch.at;
        state.drag_low = now.low;
        state.drag_high = now.high;
    }
    if (!touch.held) {
        state.drag_from.reset();
    } else if (state.drag_from && std::abs(touch.at.x - state.drag_from->x) > ui.em(0.25F)) {
        Axis start = view.x;
        start.low = state.drag_low;
        start.high = state.drag_high;
        const double moved = static_cast<double>((state.drag_from->x - touch.at.x) / std::max(1.0F, area.w()));
        set(axis_value(start, moved), axis_value(start, 1 + moved));
    }
    if (touch.focused && ui.pressed(Key::home)) {
        fit(state);
    }
}

void draw_axes(Ui& ui, const Frame& frame, const PlotView& view) {
    Painter& paint = ui.paint();
    const Rect& area = frame.area;
    const Colour line = ui.colour(Role::line);
    const float cap = ui.fonts()[Type::label].cap_px;
    for (const double tick : axis_ticks(frame.y)) {
        const float y = std::round(area.y1 - area.h() * static_cast<float>(axis_share(frame.y, tick).value_or(0)));
        if (frame.y.grid && y < area.y1 - 1) {
            paint.hline(area.x0, area.x1, y, line, ui.look().stroke.hair);
        }
        if (frame.y.labels) {
            paint.text(Type::label, ui.colour(Role::quiet), {area.x0 - ui.em(0.5F), std::round(y + cap * 0.5F)},
                       tick_text(frame.y, tick), Align::right);
        }
    }
    const Colour edge = ui.colour(Role::edge);
    paint.hline(area.x0, area.x1, area.y1, edge, ui.look().stroke.hair);
    float last_end = -1e9F;
    for (const double tick : axis_ticks(frame.x)) {
        const float x = std::round(area.x0 + area.w() * static_cast<float>(axis_share(frame.x, tick).value_or(0)));
        if (frame.x.labels) {
            paint.vline(x, area.y1, area.y1 + ui.em(0.3125F), edge, ui.look().stroke.hair);
            const std::string words = tick_text(frame.x, tick);
            const float half = paint.text_width(Type::label, words) * 0.5F;
            const float middle = std::min(x, area.x1 - half);  // the last one's words end with the plot
            if (middle - half > last_end + ui.em(0.5F)) {
                paint.text(Type::label, ui.colour(Role::quiet), {middle, area.y1 + ui.em(1.4375F)}, words, Align::centre);
                last_end = middle + half;
            }
        }
    }
    if (!view.y.name.empty()) {
        paint.text(Type::label, ui.colour(Role::quiet), {area.x0 - ui.em(2.75F), area.y0 - ui.em(0.9375F)},
                   view.y.name);
    }
    if (!view.x.name.empty()) {
        paint.text(Type::label, ui.colour(Role::quiet), {area.x1, area.y1 + ui.em(2.5625F)}, view.x.name, Align::right);
    }
}

void draw_limits(Ui& ui, const Frame& frame, const PlotView& view) {
    Painter& paint = ui.paint();
    for (const PlotLimit& limit : view.limits) {
        const auto share = axis_share(frame.y, limit.y);
        if (!share || *share < 0 || *share > 1) {
            continue;
        }
        const float y = std::round(frame.area.y1 - frame.area.h() * static_cast<float>(*share));
        const bool used = limit.weight == PlotLimit::Weight::used;
        const bool context = limit.weight == PlotLimit::Weight::context;
        if (context) {
            const std::array<Vec2, 2> run{Vec2{frame.area.x0, y + 0.5F}, Vec2{frame.area.x1, y + 0.5F}};
            paint.dashed(run, ui.colour(Role::quiet), paint.px(1), paint.px(3), paint.px(4), false);
        } else {
            paint.hline(frame.area.x0, frame.area.x1, y - paint.px(used ? 3 : 2) * 0.5F,
                        ui.colour(used ? Role::ink : Role::steel), used ? 3 : 2);
        }
        const float base = limit.words_below ? y + ui.em(1.1875F) : y - ui.em(0.5F);
        const float width = paint.text(Type::label, ui.colour(context ? Role::text : Role::ink), {frame.area.x1, base},
                                       limit.words, Align::right);
        paint.text(Type::strong,
                   ui.colour(context ? Role::quiet
                             : used  ? Role::ink
                                     : Role::text),
                   {frame.area.x1 - width - ui.em(0.6875F), base}, limit.figure, Align::right);
    }
}

void draw_data(Ui& ui, const Frame& frame, const PlotView& view) {
    Painter& paint = ui.paint();
    const Colour steel = ui.colour(Role::steel);
    for (const PlotBand& band : view.bands) {
        paint.band(frame.along(band.high), frame.along(band.low), steel.faded(0.22F));
    }
    for (const PlotLine& line : view.lines) {
        const std::vector<Vec2> points = frame.along(line.points);
        const Colour c = line.axes_look ? ui.colour(Role::look) : steel;
        if (line.expected) {
            paint.dashed(points, c, paint.fine(2), paint.fine(1.5F), paint.fine(6), true);
        } else {
            paint.polyline(points, c, paint.fine(line.thin ? 2 : ui.look().stroke.curve));
        }
    }
    for (const PlotMarks& marks : view.marks) {
        for (const Vec2 at : frame.along(marks.points)) {
            if (marks.filled) {
                paint.circle(at, paint.fine(8), paint.surface());
                paint.circle(at, paint.fine(6.2F), ui.colour(Role::copper));
            } else {
                paint.circle(at, paint.fine(5.5F), steel);
                paint.circle(at, paint.fine(3.5F), paint.surface());
            }
        }
    }
    for (const PlotSpan& span : view.spans) {
        const auto from = frame.at({span.x0, span.y});
        const auto to = frame.at({span.x1, span.y});
        if (from && to) {
            const float y = std::round(from->y);
            paint.hline(from->x, to->x, y - paint.px(3) * 0.5F, ui.colour(Role::ink), 3);
            for (const float x : {from->x, to->x}) {
                paint.vline(x - paint.px(1), y - ui.em(0.6875F), y + ui.em(0.6875F), ui.colour(Role::ink), 2);
            }
        }
    }
}

void draw_now(Ui& ui, const Frame& frame, const PlotView& view) {
    if (!view.now) {
        return;
    }
    Painter& paint = ui.paint();
    const auto share = axis_share(frame.x, view.now->x);
    if (!share || *share < 0 || *share > 1) {
        return;
    }
    const Colour copper = ui.colour(Role::copper);
    const float x = std::round(frame.area.x0 + frame.area.w() * static_cast<float>(*share));
    if (view.now->shade_from_x) {
        const double from = std::clamp(axis_share(frame.x, *view.now->shade_from_x).value_or(0), 0.0, 1.0);
        paint.gradient_across(
            {frame.area.x0 + frame.area.w() * static_cast<float>(from), frame.area.y0, x, frame.area.y1},
            copper.faded(0.42F), copper.faded(0.12F));
    }
    paint.vline(x - paint.px(1), frame.area.y0, frame.area.y1, copper, ui.look().stroke.mark);
}

// Words inside the plot, drawn last so that no line crosses them.
void draw_words(Ui& ui, const Frame& frame, const PlotView& view) {
    Painter& paint = ui.paint();
    for (const PlotLine& line : view.lines) {
        if (const auto at = line.words_at ? frame.at(*line.words_at) : std::nullopt; at && !line.words.empty()) {
            paint.text(line.axes_look ? Type::strong : Type::label,
                       ui.colour(line.axes_look  ? Role::look
                                 : line.expected ? Role::quiet
                                                 : Role::text),
                       *at, line.words);
        }
    }
    for (const PlotMarks& marks : view.marks) {
        if (!marks.words.empty() && !marks.points.empty()) {
            if (const auto at = frame.at(marks.points.front())) {
                const float width = paint.text_width(Type::strong, marks.words);
                const bool left = at->x + width + ui.em(1) > frame.area.x1;
                paint.text(Type::strong, ui.colour(marks.filled ? Role::copper : Role::text),
                           {left ? at->x - ui.em(0.75F) : at->x + ui.em(0.75F), at->y - ui.em(0.625F)}, marks.words,
                           left ? Align::right : Align::left);
            }
        }
    }
    for (const PlotSpan& span : view.spans) {
        const auto from = frame.at({span.x0, span.y});
        const auto to = frame.at({span.x1, span.y});
        if (from && to) {
            paint.text(Type::strong, ui.colour(Role::ink), {(from->x + to->x) * 0.5F, from->y + ui.em(1.625F)},
                       span.words, Align::centre);
        }
    }
    if (view.now && !view.now->words.empty()) {
        if (const auto share = axis_share(frame.x, view.now->x); share && *share >= 0 && *share <= 1) {
            const float x = frame.area.x0 + frame.area.w() * static_cast<float>(*share);
            const float width = paint.text_width(Type::strong, view.now->words);
            const bool left = x + width + ui.em(1) > frame.area.x1;
            paint.text(Type::strong, ui.colour(Role::copper),
                       {left ? x - ui.em(0.625F) : x + ui.em(0.625F), frame.area.y0 + ui.em(0.25F)}, view.now->words,
                       left ? Align::right : Align::left);
        }
    }
}

// A value as it is read out: a figure finer than the ticks, without idle zeros.
std::string exact_text(const Axis& axis, double value) {
    if (axis.kind == AxisKind::time_of_day) {
        return tick_text(axis, value);
    }
    const std::string figure = fmt::format("{:.4g}", value);
    return axis.unit.empty() ? figure : figure + " " + axis.unit;
}

// The measured point nearest to the pointer or under the arrows, with its figures.
std::string read_out(Ui& ui, const Frame& frame, const PlotView& view, PlotState& state, const Touch& touch) {
    struct Near {
        std::string name;
        PlotPoint point;
        Vec2 at;
    };
    std::vector<Near> all;
    for (const PlotMarks& marks : view.marks) {
        for (const PlotPoint point : marks.points) {
            if (const auto at = frame.at(point); at && frame.area.grown(ui.em(0.5F)).has(*at)) {
                all.push_back({marks.name, point, *at});
            }
        }
    }
    if (all.empty()) {
        return {};
    }
    std::stable_sort(all.begin(), all.end(), [](const Near& a, const Near& b) { return a.at.x < b.at.x; });
    const Near* chosen = nullptr;
    if (touch.ring) {
        const int count = static_cast<int>(all.size());
        state.read_index += ui.pressed(Key::right) ? 1 : 0;
        state.read_index -= ui.pressed(Key::left) ? 1 : 0;
        state.read_index = std::clamp(state.read_index, 0, count - 1);
        chosen = &all[static_cast<std::size_t>(state.read_index)];
    } else if (touch.hovered) {
        float best = ui.em(1.5F);
        for (const Near& near : all) {
            const float away = std::hypot(near.at.x - touch.at.x, near.at.y - touch.at.y);
            if (away < best) {
                best = away;
                chosen = &near;
            }
        }
    }
    if (chosen == nullptr) {
        return {};
    }
    const std::string words = fmt::format("{}: {} at {}", chosen->name, exact_text(frame.y, chosen->point.y),
                                          exact_text(frame.x, chosen->point.x));
    Painter& paint = ui.paint();
    paint.circle(chosen->at, paint.fine(7), ui.colour(Role::copper));
    paint.circle(chosen->at, paint.fine(4.5F), paint.surface());
    const float width = paint.text_width(Type::label, words) + ui.em(1.25F);
    const float x =
        std::clamp(chosen->at.x - width * 0.5F, frame.area.x0, std::max(frame.area.x0, frame.area.x1 - width));
    const float above = chosen->at.y - ui.em(2.5F);
    const Rect box =
        Rect::at(x, above < frame.area.y0 ? chosen->at.y + ui.em(0.875F) : above, width, ui.em(1.75F)).snapped();
    paint.fill(box, ui.colour(Role::raised), ui.em(0.25F));
    paint.outline(box, ui.colour(Role::edge), paint.px(1), ui.em(0.25F));
    paint.push_surface(ui.colour(Role::raised));
    paint.text_in(Type::label, ui.colour(Role::ink), box, words, Align::centre);
    paint.pop_surface();
    return words;
}

}  // namespace

void fit(PlotState& state) {
    state = PlotState{};
}

Rect plot_area(const Ui& ui, const Rect& r, const PlotView& view) {
    Rect area = r.snapped();
    if (view.y.labels) {
        float widest = 0;
        for (const double tick : axis_ticks(view.y)) {
            widest = std::max(widest, ui.paint().text_width(Type::label, tick_text(view.y, tick)));
        }
        area.x0 += std::max(ui.em(1.5F), std::round(widest + ui.em(0.625F)));
    }
    area.y0 += view.y.name.empty() ? ui.em(0.375F) : ui.em(1.75F);
    area.y1 -= (view.x.labels ? ui.em(1.5F) : 0) + (view.x.name.empty() ? 0 : ui.em(1.125F)) + ui.paint().px(1);
    return area;
}

void plot(Ui& ui, const Rect& r, const PlotView& view, PlotState& state) {
    Painter& paint = ui.paint();
    Frame frame{plot_area(ui, r, view), view.x, view.y};
    const Touch touch = ui.touch(view.id, frame.area);
    if (view.can_move) {
        move_view(ui, view, state, frame.area, touch);
    }
    if (state.moved) {
        frame.x.low = state.low;
        frame.x.high = state.high;
    }
    paint.push_surface(ui.colour(view.on));
    draw_axes(ui, frame, view);
    paint.push_clip({frame.area.x0 - paint.fine(8), frame.area.y0 - paint.fine(8), frame.area.x1 + paint.fine(8),
                     frame.area.y1 + paint.fine(8)});
    draw_data(ui, frame, view);
    paint.pop_clip();
    draw_limits(ui, frame, view);
    draw_now(ui, frame, view);
    draw_words(ui, frame, view);
    const std::string read = read_out(ui, frame, view, state, touch);
    if (touch.ring || touch.hovered) {
        if (ui.pressed(Key::c, kCtrl)) {
            ui.write_clipboard(plot_csv(view));
        }
        if (ui.pressed(Key::s, kCtrl)) {
            ui.keep_picture({.name = view.id, .rect = r, .csv = plot_csv(view)});
        }
    }
    if (touch.ring) {
        paint.outline(frame.area.grown(paint.px(3)), ui.colour(Role::copper), paint.px(1));
    }
    paint.pop_surface();
    ui.report(view.id, {.kind = "plot",
                        .label = view.label,
                        .value = read,
                        .rect = frame.area,
                        .fg = ui.colour(Role::quiet),
                        .bg = ui.colour(view.on)});
}

}  // namespace tonebath::window
