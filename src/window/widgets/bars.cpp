#include "window/widgets/bars.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

void interval_bar(Ui& ui, float x0, float x1, float mid_y, const IntervalView& view) {
    Painter& paint = ui.paint();
    const bool few = view.seen < 3;
    const Colour bar = ui.colour(few ? Role::unknown : Role::text);
    const float half = paint.px(6) * 0.5F;
    const auto x_of = [x0, x1](double share) {
        return std::round(x0 + (x1 - x0) * static_cast<float>(std::clamp(share, 0.0, 1.0)));
    };
    mid_y = std::round(mid_y);
    const float low = x_of(view.low);
    const float high = x_of(view.high);
    paint.fill({x0 - half, mid_y - half, x1 + half, mid_y + half}, ui.colour(Role::line), half);
    paint.fill({low, mid_y - half, high, mid_y + half}, bar);
    const float tick = ui.em(0.5F);
    for (const float x : {low, high}) {
        const float w = paint.px(2);
        paint.fill({x - w * 0.5F, mid_y - tick, x + w * 0.5F, mid_y + tick}, bar);
    }
    if (view.share) {
        const Vec2 at{x_of(*view.share), mid_y};
        paint.circle(at, paint.fine(7.5F), bar);
        paint.circle(at, paint.fine(4.5F), paint.surface());
    }
}

void interval_row(Ui& ui, const Rect& r, float bar_x0, float bar_x1, const IntervalView& view) {
    Painter& paint = ui.paint();
    const bool few = view.seen < 3;
    paint.text_in(view.before_type, ui.colour(Role::ink), {r.x0, r.y0, bar_x0 - ui.em(0.75F), r.y1}, view.before);
    interval_bar(ui, bar_x0, bar_x1, r.mid_y(), view);
    const std::string words = few ? "too few to tell" : view.after;
    paint.text_in(few ? Type::body : Type::strong, ui.colour(few ? Role::text : Role::ink),
                  {bar_x1 + ui.em(0.75F), r.y0, r.x1, r.y1}, words, Align::right);
}

void share_bar(Ui& ui, const Rect& r, float share, Colour filled, bool track) {
    Painter& paint = ui.paint();
    const float radius = paint.px(1);
    if (track) {
        paint.fill(r, ui.colour(Role::line), radius);
    }
    const float width = std::round(r.w() * std::clamp(share, 0.0F, 1.0F));
    if (width >= 1) {
        paint.fill({r.x0, r.y0, r.x0 + std::max(width, paint.px(2)), r.y1}, filled, radius);
    }
}

void signed_bar(Ui& ui, const Rect& track, const SignedBarView& view) {
    Painter& paint = ui.paint();
    const float mid = std::round(track.mid_x());
    const float y = std::round(track.mid_y());
    const float half = ui.em(0.4375F);
    const auto x_of = [&](double value) {
        return std::round(mid + track.w() * 0.5F * static_cast<float>(std::clamp(value / std::max(view.widest, 1e-9), -1.0, 1.0)));
    };
    paint.vline(mid - paint.px(1) * 0.5F, track.y0, track.y1, ui.colour(Role::edge), 1);
    const float x = x_of(view.value);
    Rect bar{std::min(x, mid), y - half, std::max(x, mid), y + half};
    if (!view.hollow) {
        // However small, it is seen on which side it lies.
        bar.x0 = view.value < 0 ? std::min(bar.x0, mid - paint.px(2)) : bar.x0;
        bar.x1 = view.value > 0 ? std::max(bar.x1, mid + paint.px(2)) : bar.x1;
        paint.fill(bar, ui.colour(view.colour), paint.px(1));
    } else if (bar.w() > paint.px(3)) {
        paint.outline(bar, ui.colour(Role::unknown), paint.px(2));
    }
    if (view.range) {
        const float low = x_of(view.range->first);
        const float high = x_of(view.range->second);
        if (!view.hollow) {
            paint.fill({low - paint.px(2), y - paint.px(3), high + paint.px(2), y + paint.px(3)}, paint.surface());
        }
        paint.hline(low, high, y - paint.px(1), ui.colour(Role::ink), 2);
        for (const float end : {low, high}) {
            paint.vline(end - paint.px(1), y - half, y + half, ui.colour(Role::ink), 2);
        }
    }
}

void column_scale(Ui& ui, const Rect& r, float share, Colour filled, bool fade_down) {
    Painter& paint = ui.paint();
    paint.fill(r, ui.colour(Role::well), r.w() * 0.5F);
    const float pad = paint.px(2);
    const float top = std::round(r.y1 - pad - (r.h() - 2 * pad) * std::clamp(share, 0.0F, 1.0F));
    const Rect column{r.x0 + pad, top, r.x1 - pad, r.y1 - pad};
    if (fade_down) {
        paint.gradient_down(column, filled.faded(0.55F), filled.faded(0.12F));
    } else {
        paint.fill(column, filled.faded(0.5F));
    }
    paint.outline(r, ui.colour(Role::line), paint.px(ui.look().stroke.outline), r.w() * 0.5F);
}

}  // namespace tonebath::window
