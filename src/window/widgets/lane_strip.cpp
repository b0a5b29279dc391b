#include "window/widgets/strip.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

void draw_run_down(Ui& ui, const Rect& run, const DrawnScale& scale) {
    Painter& paint = ui.paint();
    const auto count = static_cast<int>(scale.tones.size());
    const float each = run.h() / static_cast<float>(count);
    const float blend = (1 - ui.look().strip.plateau) * 0.5F;
    const auto colour_of = [&scale](int i) {
        return scale.tones[static_cast<std::size_t>(i)].colour.value_or(scale.bare);
    };
    float y = run.y0;
    for (int i = 0; i < count; ++i) {
        const float flat_end =
            i + 1 == count ? run.y1 : std::round(run.y0 + each * (static_cast<float>(i) + 1 - blend));
        paint.fill({run.x0, y, run.x1, flat_end}, colour_of(i));
        y = flat_end;
        if (i + 1 < count) {
            const float blend_end = std::round(run.y0 + each * (static_cast<float>(i) + 1 + blend));
            paint.gradient_down({run.x0, y, run.x1, blend_end}, colour_of(i), colour_of(i + 1));
            y = blend_end;
        }
    }
}

void draw_bowl(Ui& ui, const Rect& strip) {
    Painter& paint = ui.paint();
    const Colour glass = ui.colour(Role::steel);
    const float reach = ui.em(0.9375F);
    const float cut = ui.em(0.5F);
    const float top = strip.y1 - ui.em(3.625F);
    const float bottom = strip.y1 + ui.em(0.375F);
    const float x0 = strip.x0 - reach;
    const float x1 = strip.x1 + reach;
    paint.gradient_down({x0, top + cut, x1, bottom}, glass.faded(0.08F), glass.faded(0.30F));
    const std::array<Vec2, 6> wall{Vec2{x0, top},          Vec2{x0, bottom - cut}, Vec2{x0 + cut, bottom},
                                   Vec2{x1 - cut, bottom}, Vec2{x1, bottom - cut}, Vec2{x1, top}};
    paint.polyline(wall, glass, paint.fine(2.5F));
    paint.hline(x0, x1, top + cut, glass, 1.5F);
}

}  // namespace

void lane_strip(Ui& ui, const Rect& place, const LaneStripView& view) {
    Painter& paint = ui.paint();
    const Rect r = place.snapped();
    const float tab = std::round(std::min(r.w() * 0.43F, r.h() * 0.2F));
    const float q = std::round(r.w() * 0.21F);
    const Rect run{r.x0, r.y0 + tab, r.x1, r.y1};
    const std::array<Vec2, 6> end{Vec2{r.x0 + q, r.y0}, Vec2{r.x1 - q, r.y0}, Vec2{r.x1, r.y0 + q},
                                  Vec2{r.x1, run.y0},   Vec2{r.x0, run.y0},   Vec2{r.x0, r.y0 + q}};
    paint.polygon(end, view.scale->bare);
    paint.circle({r.mid_x(), r.y0 + tab * 0.5F}, std::max(paint.fine(1.5F), r.w() * 0.08F), ui.colour(Role::ground));
    draw_run_down(ui, run, *view.scale);
    const float film_y = std::round(run.y0 + run.h() * std::clamp(view.film, 0.0F, 1.0F));
    paint.fill({run.x0, view.film_known ? film_y : run.y0, run.x1, run.y1},
               ui.colour(Role::well).faded(ui.theme().film_not_yet_alpha));
    paint.outline(run, ui.colour(Role::edge).faded(0.7F), paint.px(1));
    if (view.aim) {
        const float reach = ui.em(0.375F);
        const float thick = paint.px(2.5F);
        const float foot = ui.em(0.375F);
        const Colour copper = ui.colour(Role::copper);
        const float top = std::round(run.y0 + run.h() * view.aim->first);
        const float bottom = std::max(std::round(run.y0 + run.h() * view.aim->second), top + foot + thick);
        const float x0 = r.x0 - reach;
        const float x1 = r.x1 + reach;
        const float toes = std::min(foot, (bottom - top) * 0.5F - paint.px(1));
        paint.fill({x0, top, x1, top + thick}, copper);
        paint.fill({x0, bottom - thick, x1, bottom}, copper);
        for (const float x : {x0, x1 - thick}) {
            paint.fill({x, top, x + thick, top + toes}, copper);
            paint.fill({x, bottom - toes, x + thick, bottom}, copper);
        }
    }
    if (view.in_rinse) {
        draw_bowl(ui, r);
    }
    if (view.film_known) {
        const float half = paint.px(3) * 0.5F;
        paint.fill({r.x0 - ui.em(0.3125F), film_y - half, r.x1 + ui.em(0.3125F), film_y + half}, ui.colour(Role::ink),
                   half);
    }
}

}  // namespace tonebath::window
