// Key caps, key hints and the foot of a page.
#include "base/text.hpp"
#include "window/widgets/buttons.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

float key_cap_width(const Ui& ui, std::string_view cap) {
    return std::round(std::max(ui.em(1.5F), ui.paint().text_width(Type::label, cap) + ui.em(0.875F)));
}

float key_cap_at(Ui& ui, std::string_view cap, float x, float mid_y, Colour line, Colour ink, bool edge) {
    Painter& paint = ui.paint();
    const float height = ui.em(1.5F);
    const Rect r = Rect::at(std::round(x), std::round(mid_y - height * 0.5F), key_cap_width(ui, cap), height);
    paint.outline(r, line, paint.px(ui.look().stroke.outline), ui.em(0.25F));
    Rect words = r;
    if (edge) {
        const float thick = paint.px(2);
        paint.fill({r.x0 + ui.em(0.1875F), r.y1 - paint.px(1) - thick, r.x1 - ui.em(0.1875F), r.y1 - paint.px(1)},
                   line);
        words = words.moved(0, -paint.px(1));
    }
    paint.text_in(Type::label, ink, words, cap, Align::centre);
    return r.w();
}

float key_hint(Ui& ui, std::string_view cap, std::string_view words, float x, float mid_y) {
    const float width = key_cap_at(ui, cap, x, mid_y, ui.colour(Role::edge), ui.colour(Role::text));
    const float words_x = std::round(x) + width + ui.em(0.5F);
    return words_x + ui.paint().text(Type::label, ui.colour(Role::quiet),
                                     {words_x, std::round(mid_y + ui.fonts()[Type::label].cap_px * 0.5F)}, words);
}

Rect foot_rect(const Ui& ui) {
    const Rect screen = ui.screen();
    return {screen.x0, screen.y1 - ui.em(ui.look().space.foot_height), screen.x1, screen.y1};
}

namespace {

// A hint that can also be clicked; returns its right end, sets `used`.
float live_hint(Ui& ui, const FootHint& hint, float x, float mid_y, Role ink, bool& used) {
    Painter& paint = ui.paint();
    const float cap = key_cap_at(ui, hint.cap, x, mid_y, ui.colour(Role::edge), ui.colour(Role::text));
    const float words_x = std::round(x) + cap + ui.em(0.5F);
    const float end =
        words_x + paint.text(Type::label, ui.colour(ink),
                             {words_x, std::round(mid_y + ui.fonts()[Type::label].cap_px * 0.5F)}, hint.words);
    const float half = ui.em(0.9375F);
    const Rect place{std::round(x) - ui.em(0.375F), mid_y - half, std::round(end) + ui.em(0.375F), mid_y + half};
    const Touch touch = ui.touch(hint.id, place, Focusable::yes);
    if (touch.ring) {
        paint.outline(place.snapped(), ui.colour(Role::copper), paint.px(2), ui.em(0.375F));
    }
    used = touch.activated || ui.pressed(hint.key.key, hint.key.mods);
    ui.report(hint.id, {.kind = "hint",
                        .label = hint.words,
                        .value = {},
                        .key = hint.cap,
                        .reason = {},
                        .rect = place,
                        .fg = ui.colour(ink),
                        .bg = paint.surface()});
    return end;
}

// One line; a refusal may take two.
std::vector<std::string> foot_lines(const Painter& paint, float room, std::string_view written, bool written_ok) {
    if (written_ok) {
        return {paint.ellipsis(Type::label, room, written)};
    }
    std::vector<std::string> lines = paint.wrap(Type::label, room, written);
    if (lines.size() > 2) {
        const std::string rest = joined({lines.begin() + 1, lines.end()}, " ");
        lines.resize(1);
        lines.push_back(paint.ellipsis(Type::label, room, rest));
    }
    return lines;
}

}  // namespace

FootResult foot(Ui& ui, const std::vector<FootHint>& hints, std::string_view written, bool written_ok) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope("foot");
    const Rect r = foot_rect(ui);
    const float x0 = r.x0 + ui.em(ui.look().space.margin);
    const float x1 = r.x1 - ui.em(ui.look().space.margin);
    const float mid = std::round(r.y0 + ui.em(1.1875F));
    paint.hline(x0, x1, r.y0, ui.colour(Role::line), ui.look().stroke.hair);

    FootResult out;
    // A refusal is told whole, with its remedy: the hints make room for it, and it may take two lines.
    const FootHint emergency{"emergency", "F12", "emergency", {}};
    const float wide = key_cap_width(ui, emergency.cap) + ui.em(0.5F) + paint.text_width(Type::label, emergency.words);
    const float room = x1 - x0 - wide - ui.em(3.25F);
    const std::vector<std::string> lines = foot_lines(paint, room, written, written_ok);
    float width = 0;
    for (const std::string& line : lines) {
        width = std::max(width, paint.text_width(Type::label, line));
    }
    float right = x1;
    if (!written.empty()) {
        const float pitch = ui.em(1.0625F);
        float baseline = std::round(mid + ui.fonts()[Type::label].cap_px * 0.5F - pitch * 0.5F * static_cast<float>(lines.size() - 1));
        for (const std::string& line : lines) {
            paint.text(Type::label, ui.colour(written_ok ? Role::quiet : Role::text), {x1 - width, baseline}, line);
            baseline += std::round(pitch);
        }
        const float mark_x = x1 - width - ui.em(1.125F);
        draw_mark(ui, written_ok ? Mark::done : Mark::stop, {std::round(mark_x), mid}, ui.em(0.4375F));
        right = mark_x - ui.em(2.125F);
    }
    const float emergency_x = std::round(right - wide);

    float x = x0;
    for (const FootHint& hint : hints) {
        const float need =
            key_cap_width(ui, hint.cap) + ui.em(0.5F) + paint.text_width(Type::label, hint.words) + ui.em(1.5F);
        if (x + need > emergency_x) {
            if (ui.pressed(hint.key.key, hint.key.mods)) {
                out.used = hint.id;  // no room to print it, but its key works
            }
            continue;
        }
        bool used = false;
        x = live_hint(ui, hint, x, mid, Role::quiet, used) + ui.em(1.5F);
        if (used) {
            out.used = hint.id;
        }
    }
    bool asked = false;
    live_hint(ui, emergency, emergency_x, mid, Role::text, asked);
    out.emergency = asked || ui.press_everywhere(Key::f12).has_value();
    return out;
}

}  // namespace tonebath::window
