#include "window/widgets/wires.hpp"

#include "window/widgets/rail.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr int kMostRows = 3;

struct HungTag {
    const DayTag* tag = nullptr;
    float hole_x = 0;
    Rect place;
    int row = 0;
};

float hour_x(const Ui& ui, const Rect& r, const DayView& view, double hour) {
    const float inset = ui.em(1.5F);
    const double share = (hour - view.from_hour) / std::max(0.01, view.to_hour - view.from_hour);
    return r.x0 + inset + (r.w() - 2 * inset) * static_cast<float>(std::clamp(share, -0.01, 1.01));
}

float tag_words_width(const Ui& ui, const DayView& view, const DayTag& tag) {
    float widest = ui.paint().text_width(Type::strong, tag.head) + (tag.cap.empty() ? 0 : ui.em(2.75F));
    if (!view.short_tags) {
        for (std::size_t i = 0; i < tag.lines.size(); ++i) {
            const bool beside_mark = tag.mark && i + 1 == tag.lines.size();
            widest =
                std::max(widest, ui.paint().text_width(Type::label, tag.lines[i]) + (beside_mark ? ui.em(1.75F) : 0));
        }
    }
    return widest;
}

// Where each tag hangs: paper tags first, each on the highest row where it touches no other.
std::vector<HungTag> hang(const Ui& ui, const Rect& r, const DayView& view) {
    std::vector<HungTag> out;
    for (const bool paper : {true, false}) {
        for (const DayTag& tag : view.tags) {
            if (tag.paper != paper) {
                continue;
            }
            HungTag hung{&tag, std::round(hour_x(ui, r, view, tag.hour)), {}, 0};
            const float width = std::round(tag_words_width(ui, view, tag) + ui.em(1.75F));
            const int lines = view.short_tags ? 0 : static_cast<int>(tag.lines.size());
            const float height = ui.em(2.75F + 1.1875F * static_cast<float>(lines));
            const float wished = hung.hole_x - ui.em(1.375F);
            const float least = std::max(r.x0, hung.hole_x - width + ui.em(1));
            const float x = std::clamp(wished, least, std::max(least, r.x1 - width));
            for (hung.row = static_cast<int>(tag.row_share); hung.row < kMostRows; ++hung.row) {
                const float top = r.y0 + ui.em(4.25F) + ui.em(6.25F) * static_cast<float>(hung.row);
                hung.place = Rect::at(std::round(x), top, width, height);
                const bool clash = std::any_of(out.begin(), out.end(), [&](const HungTag& other) {
                    return !hung.place.grown(ui.em(0.5F)).overlap(other.place).empty();
                });
                if (!clash) {
                    break;
                }
            }
            hung.row = std::min(hung.row, kMostRows - 1);
            out.push_back(hung);
        }
    }
    return out;
}

void draw_tag(Ui& ui, const DayView& view, const HungTag& hung, std::string& used) {
    Painter& paint = ui.paint();
    const DayTag& tag = *hung.tag;
    const Rect& r = hung.place;
    const float q = ui.em(0.625F);
    const Touch touch = ui.touch(tag.id, r);
    const Colour bg = ui.colour(tag.paper ? Role::paper : Role::slab);
    const std::vector<Vec2> shape{{r.x0 + q, r.y0}, {r.x1 - q, r.y0}, {r.x1, r.y0 + q},
                                  {r.x1, r.y1},     {r.x0, r.y1},     {r.x0, r.y0 + q}};
    paint.polygon(shape, bg);
    if (!tag.paper || !ui.theme().dark) {
        paint.polyline(shape,
                       ui.colour(tag.paper       ? Role::paper_line
                                 : touch.hovered ? Role::edge
                                                 : Role::line),
                       paint.px(1), true);
    }
    const float hole_y = r.y0 + ui.em(0.5625F);
    wire_down(ui, hung.hole_x, r.y0, hole_y);
    paint.circle({hung.hole_x, hole_y}, paint.fine(4.1F), ui.colour(tag.paper ? Role::paper_line : Role::line));
    paint.circle({hung.hole_x, hole_y}, paint.fine(3.1F), ui.colour(Role::ground));
    paint.push_surface(bg);
    const float x = r.x0 + ui.em(0.875F);
    paint.text(Type::strong, ui.colour(tag.paper ? Role::paper_ink : Role::ink), {x, r.y0 + ui.em(2.125F)}, tag.head);
    if (!view.short_tags) {
        float y = r.y0 + ui.em(3.3125F);
        for (const std::string& line : tag.lines) {
            paint.text(Type::label, ui.colour(tag.paper ? Role::paper_quiet : Role::text), {x, y}, line);
            y += ui.em(1.125F);
        }
        if (tag.mark) {
            draw_mark(ui, *tag.mark, {r.x1 - ui.em(1.25F), r.y1 - ui.em(0.9375F)}, ui.em(0.5F), tag.paper);
        }
    }
    if (!tag.cap.empty()) {
        key_cap_at(ui, tag.cap, r.x1 - ui.em(0.875F) - key_cap_width(ui, tag.cap), r.y0 + ui.em(1.4375F),
                   ui.colour(tag.paper ? Role::paper_quiet : Role::edge),
                   ui.colour(tag.paper ? Role::paper_ink : Role::text));
    }
    paint.pop_surface();
    if (touch.ring) {
        ui.draw_focus_ring(r, ui.em(0.25F));
    }
    if (touch.activated || ui.pressed(tag.key.key, tag.key.mods)) {
        used = tag.id;
    }
    std::string lines;
    for (const std::string& line : tag.lines) {
        lines += (lines.empty() ? "" : "; ") + line;
    }
    ui.report(tag.id, {.kind = "day tag",
                       .label = tag.head,
                       .value = lines,
                       .key = tag.cap,
                       .rect = r,
                       .fg = ui.colour(tag.paper ? Role::paper_ink : Role::ink),
                       .bg = bg});
}

}  // namespace

float day_wire_height(const Ui& ui, const DayView& view) {
    const float margin = ui.em(ui.look().space.margin);
    const Rect r{ui.screen().x0 + margin, 0, ui.screen().x1 - margin, 0};
    float bottom = ui.em(4.25F);
    for (const HungTag& hung : hang(ui, r, view)) {
        bottom = std::max(bottom, hung.place.y1);
    }
    return bottom;
}

std::string day_wire(Ui& ui, const Rect& place, const DayView& view) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope(view.id);
    const Rect r = place.snapped();
    const float wire_y = r.y0 + ui.em(1.5F);
    const float hour_base = r.y0 + ui.em(0.75F);
    const float now_x = hour_x(ui, r, view, view.now_hour);
    const std::vector<HungTag> tags = hang(ui, r, view);
    for (const HungTag& hung : tags) {
        wire_down(ui, hung.hole_x, wire_y, hung.place.y0 + ui.em(0.5625F));
    }
    wire_across(ui, r.x0, r.x1, wire_y);
    const float now_half = paint.text_width(Type::label, "now") * 0.5F;
    for (int hour = static_cast<int>(std::ceil(view.from_hour)); hour <= static_cast<int>(view.to_hour); ++hour) {
        const float x = hour_x(ui, r, view, hour);
        paint.vline(x, wire_y + ui.em(0.3125F), wire_y + ui.em(0.6875F), ui.colour(Role::edge), 1);
        if (std::abs(x - now_x) > now_half + ui.em(1.125F)) {
            paint.text(Type::label, ui.colour(Role::quiet), {x, hour_base}, fmt::format("{:02d}", hour), Align::centre);
        }
    }
    if (view.now_hour >= view.from_hour && view.now_hour <= view.to_hour) {
        paint.text(Type::label, ui.colour(Role::ink), {now_x, hour_base}, "now", Align::centre);
        paint.circle({std::round(now_x), wire_y}, paint.fine(9.5F), paint.surface());
        paint.circle({std::round(now_x), wire_y}, paint.fine(7.5F), ui.colour(Role::ink));
    }
    std::string used;
    for (const DayTag& tag : view.tags) {
        for (const HungTag& hung : tags) {
            if (hung.tag == &tag) {
                draw_tag(ui, view, hung, used);
            }
        }
    }
    return used;
}

float story_wire(Ui& ui, const Rect& place, const StoryView& view) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope(view.id);
    const Rect r = place.snapped();
    const float x = r.x0 + ui.em(1);
    const float when_x = r.x0 + ui.em(2.25F);
    const float what_x = when_x + ui.em(view.when_em);
    const float room = r.x1 - what_x;
    std::vector<float> mids;
    float y = r.y0 + ui.em(0.9375F);
    for (const StoryBead& bead : view.beads) {
        mids.push_back(std::round(y));
        const auto lines = static_cast<float>(
            paint.wrap(bead.strong || bead.filled ? Type::strong : Type::body, room, bead.what).size());
        y += ui.em(2.625F) + ui.em(1.375F) * (lines - 1) + (bead.more.empty() ? 0 : ui.em(1.25F));
    }
    const float end = view.open_end || mids.empty() ? y : mids.back();
    const float thick = paint.px(ui.look().stroke.wire);
    const float left = std::round(x - thick * 0.5F);
    const float mid_x = left + thick * 0.5F;
    paint.fill({left, r.y0, left + thick, end}, ui.colour(Role::wire));
    for (std::size_t i = 0; i < view.beads.size(); ++i) {
        const StoryBead& bead = view.beads[i];
        const float mid = mids[i];
        const Vec2 at{mid_x, mid};
        if (bead.mark) {
            paint.circle(at, ui.em(0.75F), paint.surface());
            draw_mark(ui, *bead.mark, at, ui.em(0.5625F));
        } else {
            paint.circle(at, paint.fine(7.2F), ui.colour(Role::copper));
            if (!bead.filled) {
                paint.circle(at, paint.fine(4.8F), ui.colour(Role::slab));
            }
        }
        const float base = std::round(mid + ui.fonts()[Type::body].cap_px * 0.5F);
        paint.text(Type::label, ui.colour(Role::quiet), {when_x, base}, bead.when);
        const Type type = bead.strong || bead.filled ? Type::strong : Type::body;
        const float used =
            paint.text_wrapped(type, ui.colour(Role::ink), {what_x, base}, room, bead.what, Align::left, ui.em(1.375F));
        if (!bead.more.empty()) {
            paint.text(Type::label, ui.colour(Role::text), {what_x, base + used - ui.em(0.125F)},
                       paint.ellipsis(Type::label, room, bead.more));
        }
        ui.report(bead.id, {.kind = "story bead",
                            .label = bead.what,
                            .value = bead.when,
                            .rect = {r.x0, mid - ui.em(1), r.x1, mid + ui.em(1)},
                            .fg = ui.colour(Role::ink),
                            .bg = paint.surface(),
                            .interactive = false});
    }
    return end - r.y0;
}

}  // namespace tonebath::window
