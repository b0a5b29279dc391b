#include "window/widgets/slider.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr float kHeight_em = 4.25F;
constexpr float kHandle_em = 0.625F;
constexpr int kFar = 10;  // stops for an arrow with Shift

// The handle's place along the line, 0..1.
double share_of(const SliderView& view, std::size_t at) {
    const double width = view.stops.back() - view.stops.front();
    return width <= 0.0 ? 0.0 : (view.stops[at] - view.stops.front()) / width;
}

std::size_t nearest(const SliderView& view, double share) {
    const double wanted = view.stops.front() + share * (view.stops.back() - view.stops.front());
    const auto after = std::lower_bound(view.stops.begin(), view.stops.end(), wanted);
    if (after == view.stops.begin()) {
        return 0;
    }
    const auto before = static_cast<std::size_t>(after - view.stops.begin()) - 1;
    return after == view.stops.end() || wanted - view.stops[before] <= *after - wanted ? before : before + 1;
}

int steps_asked(Ui& ui, int count) {
    int step = (ui.pressed(Key::right) ? 1 : 0) - (ui.pressed(Key::left) ? 1 : 0);
    step += (ui.pressed(Key::right, kShift) ? kFar : 0) - (ui.pressed(Key::left, kShift) ? kFar : 0);
    step += (ui.pressed(Key::end) ? count : 0) - (ui.pressed(Key::home) ? count : 0);
    return step;
}

}  // namespace

float slider_height(const Ui& ui) { return ui.em(kHeight_em); }

bool slider(Ui& ui, const Rect& r, const SliderView& view, std::size_t& at) {
    if (view.stops.empty()) {
        return false;
    }
    Painter& paint = ui.paint();
    const auto count = static_cast<int>(view.stops.size());
    at = std::min(at, view.stops.size() - 1);
    const std::size_t before = at;
    const float pad = ui.em(kHandle_em);
    const float y = std::round(r.y0 + ui.em(1.375F));
    const Rect line{r.x0 + pad, y, r.x1 - pad, y};
    const Rect target{r.x0, y - ui.em(1.375F), r.x1, y + ui.em(1.375F)};
    const Touch touch = ui.touch(view.id, target, Focusable::yes);
    if (touch.held || touch.clicked) {
        at = nearest(view, std::clamp(static_cast<double>((touch.at.x - line.x0) / std::max(1.0F, line.w())), 0.0, 1.0));
    } else if (touch.focused || (view.arrows_always && !ui.typing())) {
        at = static_cast<std::size_t>(std::clamp(static_cast<int>(at) + steps_asked(ui, count), 0, count - 1));
    }
    const float x = std::round(line.x0 + line.w() * static_cast<float>(share_of(view, at)));
    const float half = paint.px(4) * 0.5F;
    paint.fill({line.x0, y - half, line.x1, y + half}, ui.colour(Role::line), half);
    paint.fill({line.x0, y - half, x, y + half}, ui.colour(Role::wire), half);
    const float under = y + ui.em(1.875F);
    float taken_x0 = r.x1;
    float taken_x1 = r.x0;
    if (view.marked && *view.marked < view.stops.size()) {
        const float mark_x = std::round(line.x0 + line.w() * static_cast<float>(share_of(view, *view.marked)));
        paint.vline(mark_x - paint.px(1), y - ui.em(0.5F), y + ui.em(0.875F), ui.colour(Role::ink), 2);
        const float width = paint.text_width(Type::label, view.marked_words);
        const float words_x = std::clamp(mark_x - width * 0.5F, r.x0, std::max(r.x0, r.x1 - width));
        paint.text(Type::label, ui.colour(Role::ink), {words_x, under}, view.marked_words);
        taken_x0 = words_x - ui.em(0.75F);
        taken_x1 = words_x + width + ui.em(0.75F);
    }
    // Words of the ends, where those of the mark leave them room.
    if (r.x0 + paint.text_width(Type::label, view.low) < taken_x0 || taken_x1 <= r.x0) {
        paint.text(Type::label, ui.colour(Role::quiet), {r.x0, under}, view.low);
    }
    if (r.x1 - paint.text_width(Type::label, view.high) > taken_x1) {
        paint.text(Type::label, ui.colour(Role::quiet), {r.x1, under}, view.high, Align::right);
    }
    paint.circle({x, y}, ui.em(kHandle_em), ui.colour(Role::copper));
    paint.circle({x, y}, ui.em(kHandle_em * 0.45F), paint.surface());
    if (touch.ring) {
        ui.draw_focus_ring(Rect{x - pad, y - pad, x + pad, y + pad}.grown(paint.px(3)), pad);
    }
    ui.report(view.id, {.kind = "slider", .label = view.label, .value = view.value, .rect = target, .fg = ui.colour(Role::text), .bg = paint.surface()});
    return at != before;
}

}  // namespace tonebath::window
