#include "window/widgets/tags.hpp"

#include <cmath>

namespace tonebath::window {

namespace {

Type letters_for(float height_em) {
    return height_em >= 2.4F ? Type::leads : Type::strong;
}

struct Padding {
    float left = 0;
    float right = 0;
};

Padding padding_of(const Ui& ui, TagShape shape) {
    switch (shape) {
        case TagShape::piece: return {ui.em(1.5F), ui.em(0.6875F)};
        case TagShape::bath:
        case TagShape::lot: return {ui.em(0.8125F), ui.em(0.8125F)};
        case TagShape::bottle: return {ui.em(0.625F), ui.em(0.625F)};
        case TagShape::batch: return {ui.em(0.9375F), ui.em(0.375F)};
        case TagShape::seat: break;
    }
    return {ui.em(0.5F), ui.em(0.5F)};
}

}  // namespace

std::vector<Vec2> tag_outline(TagShape shape, const Rect& r) {
    const float q = r.h() * 0.3F;
    switch (shape) {
        case TagShape::piece:
            return {{r.x0 + q, r.y0}, {r.x1, r.y0}, {r.x1, r.y1}, {r.x0 + q, r.y1}, {r.x0, r.y1 - q}, {r.x0, r.y0 + q}};
        case TagShape::bath: return {{r.x0, r.y0}, {r.x1, r.y0}, {r.x1 - q, r.y1}, {r.x0 + q, r.y1}};
        case TagShape::lot:
            return {{r.x0 + q, r.y0}, {r.x1 - q, r.y0}, {r.x1, r.y0 + q}, {r.x1, r.y1}, {r.x0, r.y1}, {r.x0, r.y0 + q}};
        case TagShape::bottle: {
            const float step = q * 0.9F;
            const float neck = r.y0 + r.h() * 0.22F;
            const float shoulder = r.y0 + r.h() * 0.4F;
            return {{r.x0 + step, r.y0}, {r.x1 - step, r.y0}, {r.x1 - step, neck}, {r.x1, shoulder},
                    {r.x1, r.y1},        {r.x0, r.y1},        {r.x0, shoulder},    {r.x0 + step, neck}};
        }
        case TagShape::batch:
        case TagShape::seat: break;
    }
    return {{r.x0, r.y0}, {r.x1, r.y0}, {r.x1, r.y1}, {r.x0, r.y1}};
}

float tag_width(const Ui& ui, TagShape shape, std::string_view words, const TagStyle& style) {
    if (style.width_em > 0) {
        return ui.em(style.width_em);
    }
    if (shape == TagShape::seat) {
        return ui.em(style.height_em);
    }
    const Padding pad = padding_of(ui, shape);
    return std::round(pad.left + ui.paint().text_width(letters_for(style.height_em), words) + pad.right);
}

Rect number_tag(Ui& ui, TagShape shape, std::string_view words, float x, float mid_y, const TagStyle& style) {
    Painter& paint = ui.paint();
    const float height = ui.em(style.height_em);
    const float top = std::round(mid_y - height * 0.5F);
    const Rect r = Rect::at(std::round(x), top, tag_width(ui, shape, words, style), height);
    const bool inverted = style.fill == TagFill::inverted;
    const Colour fill = ui.colour(inverted ? Role::paper_ink : Role::paper);
    const Colour ink = ui.colour(inverted ? Role::paper : Role::paper_ink);
    if (shape == TagShape::seat) {
        seat_disc(ui, SeatState::briefed, words, r.mid(), height * 0.5F);
        return r;
    }
    const std::vector<Vec2> shape_points = tag_outline(shape, r);
    if (shape == TagShape::bottle) {
        // Not convex: the neck and the body are two pieces that share the shoulders.
        paint.polygon(std::vector<Vec2>{shape_points[0], shape_points[1], shape_points[2], shape_points[7]}, fill);
        paint.polygon(std::vector<Vec2>{shape_points[7], shape_points[2], shape_points[3], shape_points[4],
                                        shape_points[5], shape_points[6]},
                      fill);
    } else {
        paint.polygon(shape_points, fill);
    }
    if (!ui.theme().dark && !inverted) {
        paint.polyline(shape_points, ui.colour(Role::paper_line), paint.px(1), true);
    }
    const Padding pad = padding_of(ui, shape);
    if (shape == TagShape::piece) {
        const Vec2 hole{r.x0 + ui.em(0.8125F), r.mid_y()};
        paint.circle(hole, paint.fine(3.6F), ui.colour(Role::paper_line));
        paint.circle(hole, paint.fine(2.9F), inverted ? ink : ui.colour(Role::ground));
    } else if (shape == TagShape::batch) {
        for (const float rule : {4.0F, 7.0F}) {
            paint.vline(r.x0 + paint.fine(rule) - paint.px(1) * 0.5F, r.y0 + ui.em(0.25F), r.y1 - ui.em(0.25F),
                        ui.colour(Role::paper_quiet), 1);
        }
    }
    paint.push_surface(fill);
    const Rect words_place = style.width_em > 0 && (shape == TagShape::piece || shape == TagShape::batch)
                                 ? Rect{r.x0 + pad.left, r.y0, r.x1 - ui.em(0.25F), r.y1}
                                 : Rect{r.x0 + pad.left, r.y0, r.x1 - pad.right, r.y1};
    const bool left = shape == TagShape::piece || shape == TagShape::batch;
    paint.text_in(letters_for(style.height_em), ink, words_place, words, left ? Align::left : Align::centre);
    paint.pop_surface();
    return r;
}

void seat_disc(Ui& ui, SeatState state, std::string_view number, Vec2 c, float radius) {
    Painter& paint = ui.paint();
    const bool paper = state == SeatState::briefed || state == SeatState::in_bath;
    const Colour fill = ui.colour(paper ? Role::paper : Role::slab);
    const float line = paint.fine(2);
    if (paper) {
        paint.circle(c, radius + paint.fine(0.8F), ui.colour(Role::paper_line));
        paint.circle(c, radius - paint.fine(0.7F), fill);
    } else {
        paint.circle(c, radius, fill);
        switch (state) {
            case SeatState::not_briefed: paint.ring(c, radius, ui.colour(Role::look), paint.fine(2.2F)); break;
            case SeatState::watching:
                paint.dashed_ring(c, radius, ui.colour(Role::quiet), paint.fine(1.6F), paint.fine(4), paint.fine(3.4F));
                break;
            case SeatState::next_in: paint.ring(c, radius, ui.colour(Role::copper), line); break;
            case SeatState::waiting: paint.ring(c, radius, ui.colour(Role::line), line); break;
            case SeatState::briefed:
            case SeatState::in_bath: break;
        }
    }
    const Type type = radius > ui.em(2) ? Type::figure : radius < ui.em(1) ? Type::strong : Type::leads;
    const Colour ink = paper                                                         ? ui.colour(Role::paper_ink)
                       : state == SeatState::waiting || state == SeatState::watching ? ui.colour(Role::text)
                                                                                     : ui.colour(Role::ink);
    paint.push_surface(fill);
    paint.text(type, ink, {c.x, std::round(c.y + ui.fonts()[type].cap_px * 0.5F)}, number, Align::centre);
    paint.pop_surface();
}

}  // namespace tonebath::window
