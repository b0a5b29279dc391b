#include "window/widgets/buttons.hpp"

#include <cmath>

namespace tonebath::window {

namespace {

enum class Fill : std::uint8_t { copper, raised, none };

constexpr float kCapGapEm = 0.875F;

bool key_used(Ui& ui, std::string_view id, const KeyChord& chord, const ButtonStyle& style) {
    if (!style.take_key) {
        return false;
    }
    const bool confirm = chord.key == Key::space || chord.key == Key::enter;
    if (confirm && chord.mods == kNoMods && ui.focus_ring_elsewhere(id)) {
        return false;  // another widget shows the ring: the press is its own
    }
    return ui.pressed(chord.key, chord.mods) || (style.enter_too && ui.pressed(Key::enter));
}

bool button(Ui& ui, std::string_view id, const Rect& place, std::string_view label, KeyChord key,
            const ButtonStyle& style, Fill fill) {
    Painter& paint = ui.paint();
    const Rect r = place.snapped();
    const bool enabled = style.refused.empty();
    const bool by_key = enabled && key_used(ui, id, key, style);
    const Touch touch = ui.touch(id, r, Focusable::yes, enabled);
    const float radius = ui.em(ui.look().radius.control);
    const float line = paint.px(ui.look().stroke.outline);

    Colour bg = paint.surface();
    Colour ink = ui.colour(Role::text);
    Colour cap_line = ui.colour(Role::edge);
    Colour cap_ink = ui.colour(Role::text);
    if (!enabled) {
        paint.outline(r, ui.colour(Role::line), line, radius);
        ink = ui.colour(Role::quiet);
        cap_line = ui.colour(Role::line);
        cap_ink = ui.colour(Role::quiet);
    } else if (fill == Fill::copper) {
        bg = ui.colour(touch.held ? Role::held : Role::copper);
        ink = cap_line = cap_ink = ui.colour(Role::on_copper);
        paint.fill(r, bg, radius);
    } else if (fill == Fill::raised) {
        bg = ui.colour(Role::raised);
        if (touch.held) {
            bg = mix(bg, Colour{0, 0, 0, 255}, 0.18F);
        } else if (touch.hovered) {
            bg = mix(bg, ui.colour(Role::ink), 0.05F);
        }
        ink = ui.colour(Role::ink);
        paint.fill(r, bg, radius);
        paint.outline(r, ui.colour(Role::edge), line, radius);
    } else {
        if (touch.held) {
            bg = ui.colour(Role::well);
            paint.fill(r, bg, radius);
        }
        paint.outline(r, ui.colour(touch.hovered ? Role::edge : Role::line), line, radius);
    }

    paint.push_surface(bg);
    const std::string cap = key.key == Key::none ? std::string() : chord_cap(key);
    const float words = paint.text_width(style.type, label);
    const float cap_width = cap.empty() ? 0 : key_cap_width(ui, cap);
    const float gap = cap.empty() ? 0 : ui.em(kCapGapEm);
    const float x = std::round(r.mid_x() - (words + gap + cap_width) * 0.5F);
    paint.text_in(style.type, ink, Rect{std::max(x, r.x0 + ui.em(0.5F)), r.y0, r.x1 - cap_width - gap, r.y1}, label);
    if (!cap.empty()) {
        key_cap_at(ui, cap, x + words + gap, r.mid_y(), cap_line, cap_ink, false);
    }
    paint.pop_surface();
    if (touch.ring) {
        ui.draw_focus_ring(r, radius);
    }
    if (!enabled && style.reason_beside) {
        const float mid = r.mid_y();
        const float mark_x = r.x1 + ui.em(1.25F);
        draw_mark(ui, style.refused_mark, {mark_x, mid}, ui.em(0.5625F));
        paint.text(Type::label, ui.colour(Role::text),
                   {mark_x + ui.em(1.125F), std::round(mid + ui.fonts()[Type::label].cap_px * 0.5F)}, style.refused);
    }
    ui.report(id, {.kind = "button",
                   .label = std::string(label),
                   .value = {},
                   .key = cap,
                   .reason = style.refused,
                   .rect = r,
                   .fg = ink,
                   .bg = bg,
                   .enabled = enabled,
                   .bench = style.bench});
    return by_key || touch.activated;
}

}  // namespace

std::string chord_cap(const KeyChord& chord) {
    std::string out;
    if (chord.mods.ctrl) {
        out += "Ctrl ";
    }
    if (chord.mods.alt) {
        out += "Alt ";
    }
    if (chord.mods.shift) {
        out += "Shift ";
    }
    return out + std::string(key_cap(chord.key));
}

bool button_do(Ui& ui, std::string_view id, const Rect& r, std::string_view label, KeyChord key,
               const ButtonStyle& style) {
    return button(ui, id, r, label, key, style, Fill::copper);
}

bool button_plain(Ui& ui, std::string_view id, const Rect& r, std::string_view label, KeyChord key,
                  const ButtonStyle& style) {
    return button(ui, id, r, label, key, style, Fill::raised);
}

bool button_quiet(Ui& ui, std::string_view id, const Rect& r, std::string_view label, KeyChord key,
                  const ButtonStyle& style) {
    return button(ui, id, r, label, key, style, Fill::none);
}

float button_width(const Ui& ui, std::string_view label, KeyChord key, Type type) {
    const std::string cap = key.key == Key::none ? std::string() : chord_cap(key);
    const float cap_width = cap.empty() ? 0 : key_cap_width(ui, cap) + ui.em(kCapGapEm);
    return std::round(ui.paint().text_width(type, label) + cap_width + ui.em(1.25F));
}

BenchPress bench_key(Ui& ui, const Rect& place, const BenchKeyView& view) {
    Painter& paint = ui.paint();
    const Rect r = place.snapped();
    const bool enabled = view.refused.empty();
    BenchPress out;
    if (enabled && view.owns_keys && !ui.typing()) {
        for (const Key key : {Key::space, Key::enter}) {
            if (const auto press = ui.press_everywhere(key); press && !press->repeat) {
                out.pressed = true;
                out.pressed_s = press->pressed_s;
                break;
            }
        }
        ui.claim_space(true);
    }
    const Touch touch = ui.touch(view.id, r, Focusable::no, enabled);
    out.pressed = out.pressed || touch.clicked;

    const float radius = ui.em(ui.look().radius.key_bar);
    const Colour bar = enabled ? ui.colour(touch.held ? Role::held : Role::copper) : paint.surface();
    const Colour ink = enabled ? ui.colour(Role::on_copper) : ui.colour(Role::quiet);
    if (enabled) {
        paint.fill(r, bar, radius);
    } else {
        paint.outline(r, ui.colour(Role::line), paint.px(ui.look().stroke.outline), radius);
    }
    paint.push_surface(bar);
    const float cap_height = ui.em(3);
    const float inset = view.compact ? ui.em(1.25F) : ui.em(1.5F);
    const float cap_width = view.compact ? ui.em(6.5F) : ui.em(9.375F);
    const Rect cap = Rect::at(r.x0 + inset, std::round(r.mid_y() - cap_height * 0.5F), cap_width, cap_height);
    paint.outline(cap, ink, paint.px(2), radius * 0.6F);
    const float edge = paint.px(4);
    paint.fill({cap.x0 + ui.em(0.4375F), cap.y1 - paint.px(2) - edge, cap.x1 - ui.em(0.4375F), cap.y1 - paint.px(2)},
               ink, edge * 0.5F);
    paint.text_in(Type::leads, ink, cap.moved(0, -paint.px(1)), "Space", Align::centre);

    const float after = paint.text_width(Type::lead, view.then);
    Rect words{cap.x1 + ui.em(1.4375F), r.y0, r.x1 - ui.em(1.5F) - (view.then.empty() ? 0 : after + ui.em(1)), r.y1};
    const std::string& say = view.label;
    const float wide = paint.text_width(Type::title, say);
    if (!view.compact && r.mid_x() - wide * 0.5F > words.x0 && r.mid_x() + wide * 0.5F < words.x1) {
        paint.text_in(Type::title, ink, {r.mid_x() - wide, r.y0, r.mid_x() + wide, r.y1}, say, Align::centre);
    } else {
        paint.text_in(wide <= words.w() ? Type::title : Type::leads, ink, words, say);
    }
    paint.text_in(Type::lead, ink, {r.x1 - ui.em(1.5F) - after, r.y0, r.x1 - ui.em(1.5F), r.y1},
                  enabled ? view.then : std::string_view{});
    paint.pop_surface();
    if (!enabled) {
        paint.text_in(Type::lead, ui.colour(Role::text), {words.x0, r.y0, r.x1 - ui.em(1.5F), r.y1}, view.refused,
                      Align::right);
    }
    ui.report(view.id, {.kind = "bench key",
                        .label = view.label,
                        .value = view.then,
                        .key = "Space",
                        .reason = view.refused,
                        .rect = r,
                        .fg = ink,
                        .bg = bar,
                        .enabled = enabled,
                        .bench = true});
    return out;
}

bool toggle(Ui& ui, std::string_view id, const Rect& place, std::string_view label, bool& on, KeyChord key,
            std::string_view refused) {
    Painter& paint = ui.paint();
    const Rect r = place.snapped();
    const bool enabled = refused.empty();
    const bool by_key = enabled && ui.pressed(key.key, key.mods);
    const Touch touch = ui.touch(id, r, Focusable::yes, enabled);
    const bool changed = by_key || touch.activated;
    if (changed) {
        on = !on;
    }
    // A wire with a bead: at the right and filled when on.
    const float height = ui.em(1.25F);
    const Rect track = Rect::at(r.x0, std::round(r.mid_y() - height * 0.5F), ui.em(2.375F), height);
    const Colour line = ui.colour(!enabled ? Role::line : on ? Role::copper : Role::edge);
    if (on && enabled) {
        paint.fill(track, ui.colour(Role::copper), height * 0.5F);
    } else {
        paint.outline(track, line, paint.px(ui.look().stroke.outline), height * 0.5F);
    }
    const float bead = height * 0.5F - paint.px(4);
    const float bead_x = on ? track.x1 - height * 0.5F : track.x0 + height * 0.5F;
    paint.circle({bead_x, track.mid_y()}, bead, on && enabled ? ui.colour(Role::on_copper) : line);
    const Colour ink = ui.colour(enabled ? Role::ink : Role::quiet);
    float x = track.x1 + ui.em(0.75F);
    x += paint.text_in(Type::body, ink, {x, r.y0, r.x1, r.y1}, label);
    x += paint.text_in(Type::label, ui.colour(Role::quiet), {x + ui.em(0.625F), r.y0, r.x1, r.y1}, on ? "on" : "off");
    if (key.key != Key::none) {
        key_cap_at(ui, chord_cap(key), x + ui.em(1.375F), r.mid_y(), ui.colour(Role::edge), ui.colour(Role::text),
                   false);
    }
    if (!enabled) {
        paint.text_in(Type::label, ui.colour(Role::text), {x + ui.em(1.5F), r.y0, r.x1, r.y1}, refused);
    }
    if (touch.ring) {
        ui.draw_focus_ring(r, ui.em(ui.look().radius.control));
    }
    ui.report(id, {.kind = "toggle",
                   .label = std::string(label),
                   .value = on ? "on" : "off",
                   .key = key.key == Key::none ? std::string() : chord_cap(key),
                   .reason = std::string(refused),
                   .rect = r,
                   .fg = ink,
                   .bg = paint.surface(),
                   .enabled = enabled});
    return changed;
}

}  // namespace tonebath::window
