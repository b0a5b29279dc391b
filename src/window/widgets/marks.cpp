#include "window/widgets/marks.hpp"

#include <array>
#include <cmath>

namespace tonebath::window {

namespace {

void draw_eye(Ui& ui, Vec2 c, float radius, Colour colour) {
    // Two arcs: half width 1.12 of the radius, bulging to 0.735 of it.
    Painter& paint = ui.paint();
    const float half = radius * 1.12F;
    const float bulge = radius * 1.47F;
    std::vector<Vec2> upper;
    std::vector<Vec2> lower;
    paint.quadratic({c.x - half, c.y}, {c.x, c.y - bulge}, {c.x + half, c.y}, upper);
    paint.quadratic({c.x + half, c.y}, {c.x, c.y + bulge}, {c.x - half, c.y}, lower);
    upper.insert(upper.end(), lower.begin() + 1, lower.end() - 1);
    paint.polyline(upper, colour, std::max(paint.fine(1.8F), radius * 0.15F), true);
    paint.circle(c, radius * 0.34F, colour);
}

void draw_triangle(Ui& ui, Vec2 c, float radius, Colour fill, Colour inside) {
    Painter& paint = ui.paint();
    const std::array<Vec2, 3> points{Vec2{c.x, c.y - radius * 1.02F}, Vec2{c.x + radius * 1.05F, c.y + radius * 0.85F},
                                     Vec2{c.x - radius * 1.05F, c.y + radius * 0.85F}};
    paint.polygon(points, fill);
    paint.line({c.x, c.y - radius * 0.35F}, {c.x, c.y + radius * 0.20F}, inside, radius * 0.22F);
    paint.circle({c.x, c.y + radius * 0.54F}, radius * 0.13F, inside);
}

void draw_tick(Ui& ui, Vec2 c, float radius, Colour colour) {
    const std::array<Vec2, 3> points{Vec2{c.x - radius * 0.45F, c.y + radius * 0.02F},
                                     Vec2{c.x - radius * 0.10F, c.y + radius * 0.38F},
                                     Vec2{c.x + radius * 0.50F, c.y - radius * 0.36F}};
    ui.paint().polyline(points, colour, std::max(ui.paint().fine(1.6F), radius * 0.22F));
}

}  // namespace

std::string_view mark_word(Mark mark) {
    switch (mark) {
        case Mark::done: return "done";
        case Mark::look: return "look";
        case Mark::wait: return "waiting";
        case Mark::owed: return "owed";
        case Mark::unknown: return "not known";
        case Mark::ask: return "asked";
        case Mark::over: return "passed over";
        case Mark::now: return "under way";
        case Mark::warn: return "danger";
        case Mark::stop: return "stop";
        case Mark::stop_answered: return "stop";
        case Mark::must: return "must";
        case Mark::advise: return "advise";
        case Mark::open: return "not answered";
    }
    return "";
}

Colour mark_colour(const Ui& ui, Mark mark, bool on_paper) {
    switch (mark) {
        case Mark::done: return ui.colour(on_paper ? Role::paper_done : Role::done);
        case Mark::look:
        case Mark::ask:
        case Mark::warn: return ui.colour(on_paper ? Role::paper_look : Role::look);
        case Mark::stop:
        case Mark::stop_answered: return ui.colour(on_paper ? Role::paper_stop : Role::stop);
        case Mark::unknown: return ui.colour(on_paper ? Role::paper_unknown : Role::unknown);
        case Mark::now: return ui.colour(Role::copper);
        case Mark::must: return ui.colour(on_paper ? Role::paper_ink : Role::text);
        case Mark::wait:
        case Mark::owed:
        case Mark::over:
        case Mark::advise:
        case Mark::open: break;
    }
    return ui.colour(on_paper ? Role::paper_quiet : Role::quiet);
}

void draw_mark(Ui& ui, Mark mark, Vec2 c, float radius, bool on_paper) {
    Painter& paint = ui.paint();
    const Colour colour = mark_colour(ui, mark, on_paper);
    const Colour inside = on_paper ? ui.colour(Role::paper) : ui.colour(Role::on_state);
    const float thin = paint.fine(1.8F);
    const float two = paint.fine(2);
    switch (mark) {
        case Mark::done:
            paint.circle(c, radius, colour);
            draw_tick(ui, c, radius, inside);
            return;
        case Mark::look: draw_eye(ui, c, radius, colour); return;
        case Mark::wait: {
            paint.ring(c, radius - two * 0.5F, colour, two);
            const std::array<Vec2, 3> hands{Vec2{c.x, c.y - radius * 0.5F}, c,
                                            Vec2{c.x + radius * 0.36F, c.y + radius * 0.20F}};
            paint.polyline(hands, colour, thin);
            return;
        }
        case Mark::owed: paint.arc(c, radius - two * 0.5F, -10, 280, colour, two, true); return;
        case Mark::unknown:
            paint.dashed_ring(c, radius - thin * 0.5F, colour, thin, radius * 0.3F, radius * 0.26F);
            return;
        case Mark::ask: {
            paint.ring(c, radius - thin * 0.5F, colour, thin);
            // Drawn, not written: it has to fit every size. The hook, then the dot.
            const float k = radius * 0.34F;
            std::vector<Vec2> hook;
            for (int i = 0; i <= 14; ++i) {
                const float a = (-170.0F + 240.0F * static_cast<float>(i) / 14.0F) * 3.14159265F / 180.0F;
                hook.push_back({c.x + k * 0.82F * std::cos(a), c.y - k * 0.52F + k * 0.74F * std::sin(a)});
            }
            hook.push_back({c.x, c.y + k * 0.62F});
            paint.polyline(hook, colour, std::max(paint.fine(1.4F), radius * 0.17F));
            paint.circle({c.x, c.y + k * 1.32F}, radius * 0.115F, colour);
            return;
        }
        case Mark::over:
            paint.arc({c.x, c.y + radius * 0.45F}, radius * 0.95F, 180, 360, colour, two, true);
            paint.circle({c.x, c.y + radius * 0.40F}, radius * 0.26F, colour);
            return;
        case Mark::now: paint.ring(c, radius - paint.fine(1.5F), colour, paint.fine(3)); return;
        case Mark::warn: draw_triangle(ui, c, radius, colour, inside); return;
        case Mark::stop:
            paint.octagon(c, radius, colour);
            paint.line({c.x - radius * 0.45F, c.y}, {c.x + radius * 0.45F, c.y}, inside, radius * 0.26F);
            return;
        case Mark::stop_answered:
            paint.octagon_outline(c, radius - thin * 0.5F, colour, thin);
            paint.line({c.x - radius * 0.45F, c.y}, {c.x + radius * 0.45F, c.y}, colour, radius * 0.26F);
            return;
        case Mark::must: {
            const float half = std::round(radius * 0.92F);
            const Rect box = Rect{c.x - half, c.y - half, c.x + half, c.y + half}.snapped();
            paint.outline(box, colour, paint.px(1.8F));
            const float bar = std::round(radius * 0.42F);
            const float thick = paint.px(2);
            paint.hline(c.x - bar, c.x + bar, box.mid_y() - thick * 0.5F, colour, 2);
            return;
        }
        case Mark::advise: paint.ring(c, radius - thin * 0.5F, colour, thin); return;
        case Mark::open:
            paint.ring(c, radius - paint.fine(0.8F), ui.colour(on_paper ? Role::paper_quiet : Role::edge),
                       paint.fine(1.6F));
            return;
    }
}

float mark_with_word(Ui& ui, Mark mark, Vec2 centre, std::string_view words, Type type) {
    const float radius = ui.em(0.5625F);
    draw_mark(ui, mark, centre, radius);
    const float x = centre.x + radius + ui.em(0.5625F);
    const FontFace& face = ui.fonts()[type];
    const std::string_view say = words.empty() ? mark_word(mark) : words;
    const float width =
        ui.paint().text(type, ui.colour(Role::text), {x, std::round(centre.y + face.cap_px * 0.5F)}, say);
    return x + width - (centre.x - radius);
}

void mark_over_word(Ui& ui, Mark mark, float right_x, float mark_mid_y, float word_baseline, std::string_view words) {
    const float radius = ui.em(0.5625F);
    const float reach = mark == Mark::look ? radius * 1.12F : radius;
    draw_mark(ui, mark, {right_x - reach, mark_mid_y}, radius);
    ui.paint().text(Type::small, ui.colour(Role::quiet), {right_x, word_baseline},
                    words.empty() ? mark_word(mark) : words, Align::right);
}

void draw_stone(Ui& ui, const StoneView& stone, Vec2 c, float radius) {
    Painter& paint = ui.paint();
    const Colour done = ui.colour(Role::done);
    switch (stone.state) {
        case StoneState::unharmed:
            paint.octagon(c, radius, mix(done, ui.colour(Role::ground), 0.62F));
            paint.octagon_outline(c, radius, done, paint.fine(1.4F));
            paint.octagon_outline(c, radius * 0.5F, done.faded(0.8F), paint.fine(1.1F));
            return;
        case StoneState::harmed: {
            const Colour on = ui.colour(Role::on_state);
            paint.octagon(c, radius * 1.02F, ui.colour(Role::look));
            const float k = radius * 0.5F;
            paint.line({c.x - k, c.y - k}, {c.x + k, c.y + k}, on, paint.fine(2.4F));
            paint.line({c.x - k, c.y + k}, {c.x + k, c.y - k}, on, paint.fine(2.4F));
            return;
        }
        case StoneState::not_seen:
            paint.dashed_ring(c, radius * 0.92F, ui.colour(Role::unknown), paint.fine(1.4F), radius * 0.34F,
                              radius * 0.3F);
            return;
        case StoneState::plain: break;
    }
    const Colour steel = ui.colour(Role::steel);
    paint.octagon(c, radius, mix(steel, ui.colour(Role::well), 0.7F));
    paint.octagon_outline(c, radius, steel, paint.fine(1.2F));
    paint.octagon_outline(c, radius * 0.46F, steel, paint.fine(1));
    float reach = radius + paint.fine(3.5F);
    for (int coat = 0; coat < stone.coats; ++coat) {
        paint.octagon_outline(c, reach, steel, paint.fine(2));
        reach += paint.fine(4);
    }
    if (stone.being_coated) {
        const Colour copper = ui.colour(Role::copper);
        paint.dashed_ring(c, reach, copper, paint.fine(2.6F), paint.fine(4), paint.fine(4));
        paint.line({c.x, c.y - reach - paint.fine(3)}, {c.x, c.y - reach - paint.fine(12)}, copper, paint.fine(2.5F));
        paint.circle({c.x, c.y - reach - paint.fine(15)}, paint.fine(4), copper);
    }
}

}  // namespace tonebath::window
