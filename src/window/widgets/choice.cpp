#include "window/widgets/buttons.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>

namespace tonebath::window {

namespace {

int index_of(const std::vector<Option>& options, std::string_view id) {
    const auto found = std::find_if(options.begin(), options.end(), [id](const Option& o) { return o.id == id; });
    return found == options.end() ? -1 : static_cast<int>(found - options.begin());
}

// The next option in a direction that can be chosen; stays where it is when there is none.
int step_to(const std::vector<Option>& options, int from, int step) {
    for (int at = from + step; at >= 0 && at < static_cast<int>(options.size()); at += step) {
        if (options[static_cast<std::size_t>(at)].refused.empty()) {
            return at;
        }
    }
    return from;
}

bool begins_with(const std::string& label, Key key) {
    return !label.empty() && letter_key(label[0]) == key;
}

}  // namespace

bool choice_segmented(Ui& ui, std::string_view id, const Rect& r, std::string_view label,
                      const std::vector<Option>& options, std::string& chosen, bool arrows_always) {
    Painter& paint = ui.paint();
    const std::string before = chosen;
    const auto scope = ui.scope(id);
    const float radius = ui.em(ui.look().radius.control);
    const float gap = ui.em(0.5F);
    float x = r.x0;
    Rect all{r.x0, r.y0, r.x0, r.y1};
    int at = index_of(options, chosen);
    // One stop for the keys: the arrows move the choice.
    const Touch keys = ui.touch("keys", Rect{r.x0, r.y0, r.x0, r.y0}, Focusable::yes);
    if (keys.focused || (arrows_always && !ui.typing())) {
        if (ui.pressed(Key::left)) {
            at = step_to(options, at < 0 ? static_cast<int>(options.size()) : at, -1);
        }
        if (ui.pressed(Key::right)) {
            at = step_to(options, at, 1);
        }
        if (at >= 0 && at < static_cast<int>(options.size())) {
            chosen = options[static_cast<std::size_t>(at)].id;
        }
    }
    for (const Option& option : options) {
        const float words = paint.text_width(Type::strong, option.label);
        const float note = option.note.empty() ? 0 : paint.text_width(Type::label, option.note) + ui.em(0.625F);
        const Rect place = Rect::at(std::round(x), r.y0, std::round(words + note + ui.em(1.75F)), r.h()).snapped();
        const bool enabled = option.refused.empty();
        const Touch touch = ui.touch(option.id, place, Focusable::no, enabled);
        if (touch.clicked) {
            chosen = option.id;
        }
        const bool on = option.id == chosen;
        const Colour bg = on ? ui.colour(Role::paper) : paint.surface();
        const Colour ink = !enabled ? ui.colour(Role::quiet) : on ? ui.colour(Role::paper_ink) : ui.colour(Role::text);
        if (on) {
            paint.fill(place, bg, radius);
            if (!ui.theme().dark) {
                paint.outline(place, ui.colour(Role::paper_line), paint.px(1), radius);
            }
        } else {
            paint.outline(place, ui.colour(touch.hovered ? Role::edge : Role::line), paint.px(ui.look().stroke.outline),
                          radius);
        }
        paint.push_surface(bg);
        const Rect inside = place.shrunk(ui.em(0.875F), 0);
        paint.text_in(Type::strong, ink, inside.grown(1), option.label);
        if (!option.note.empty()) {
            paint.text_in(Type::label, ui.colour(on ? Role::paper_quiet : Role::quiet), inside, option.note,
                          Align::right);
        }
        paint.pop_surface();
        ui.report(option.id, {.kind = "option",
                              .label = option.label,
                              .value = on ? "chosen" : "",
                              .reason = option.refused,
                              .rect = place,
                              .fg = ink,
                              .bg = bg,
                              .enabled = enabled});
        x = place.x1 + gap;
        all.x1 = place.x1;
    }
    if (keys.ring) {
        ui.draw_focus_ring(all, radius);
    }
    ui.report("keys", {.kind = "choice",
                       .label = std::string(label),
                       .value = chosen,
                       .rect = all,
                       .fg = ui.colour(Role::text),
                       .bg = paint.surface(),
                       .interactive = false});
    return chosen != before;
}

bool choice_list(Ui& ui, std::string_view id, const Rect& place, std::string_view label,
                 const std::vector<Option>& options, std::string& chosen, ChoiceState& state,
                 std::string_view refused) {
    Painter& paint = ui.paint();
    const Rect r = place.snapped();
    const bool enabled = refused.empty();
    const std::string before = chosen;
    const int at = index_of(options, chosen);
    const Touch touch = ui.touch(id, r, Focusable::yes, enabled);
    const bool down = touch.focused && !state.open && ui.pressed(Key::down);
    if (touch.activated || down) {
        state.open = !state.open;
        state.marked = std::max(0, at);
    }
    const float radius = ui.em(ui.look().radius.control);
    const float name_y = r.y0 - ui.em(0.5F);
    paint.text(Type::label, ui.colour(Role::text), {r.x0, name_y}, label);
    const Colour well = ui.colour(Role::well);
    paint.fill(r, well, radius);
    const bool ring = touch.focused || state.open;
    paint.outline(r,
                  ui.colour(!enabled ? Role::line
                            : ring   ? Role::copper
                                     : Role::edge),
                  paint.px(ring ? ui.look().stroke.mark : ui.look().stroke.outline), radius);
    paint.push_surface(well);
    const Rect inside = r.shrunk(ui.em(0.875F), 0);
    const std::string shown = at < 0 ? std::string("not known") : options[static_cast<std::size_t>(at)].label;
    const Colour ink = ui.colour(at < 0 ? Role::unknown : enabled ? Role::ink : Role::quiet);
    paint.text_in(Type::strong, ink, {inside.x0, r.y0, inside.x1 - ui.em(1.25F), r.y1}, shown);
    const Vec2 tip{inside.x1 - ui.em(0.375F), r.mid_y() + paint.fine(2.5F)};
    const float arm = paint.fine(5);
    const std::array<Vec2, 3> chevron{Vec2{tip.x - arm, tip.y - arm}, tip, Vec2{tip.x + arm, tip.y - arm}};
    paint.polyline(chevron, ui.colour(Role::quiet), paint.fine(2));
    paint.pop_surface();
    if (!enabled) {
        paint.text(Type::label, ui.colour(Role::text), {r.x0, r.y1 + ui.em(1.125F)}, refused);
    }
    ui.report(id, {.kind = "choice",
                   .label = std::string(label),
                   .value = shown,
                   .reason = std::string(refused),
                   .rect = r,
                   .fg = ink,
                   .bg = well,
                   .enabled = enabled});
    if (!state.open) {
        return chosen != before;
    }

    // The open list lies over the page: its presses are taken here, it is drawn after everything else.
    const float row = ui.em(ui.look().target.row);
    const float height = std::min(row * static_cast<float>(options.size()), row * 9);
    const bool up = r.y1 + height + ui.em(1) > ui.screen().y1;
    const Rect list = Rect::at(r.x0, up ? r.y0 - height - ui.em(0.25F) : r.y1 + ui.em(0.25F), r.w(), height);
    const auto layer = ui.layer(true, ui.screen());
    const auto scope = ui.scope(id);
    if (ui.pressed(Key::up)) {
        state.marked = step_to(options, state.marked, -1);
    }
    if (ui.pressed(Key::down)) {
        state.marked = step_to(options, state.marked, 1);
    }
    for (int i = 1; i <= static_cast<int>(options.size()); ++i) {
        const int candidate = (state.marked + i) % static_cast<int>(options.size());
        const std::string& words = options[static_cast<std::size_t>(candidate)].label;
        const Key first = words.empty() ? Key::none : letter_key(words[0]);
        if (begins_with(words, first) && ui.pressed(first)) {
            state.marked = candidate;
            break;
        }
    }
    if (ui.touch("away", ui.screen(), Focusable::no).clicked || ui.pressed(Key::esc)) {
        state.open = false;
    }
    const float top = row * static_cast<float>(state.marked);
    state.scroll = std::clamp(state.scroll, top + row - height, std::max(0.0F, top));
    state.scroll = std::max(0.0F, state.scroll);
    const bool take = ui.pressed(Key::enter) || ui.pressed(Key::space);
    int picked = take ? state.marked : -1;
    for (std::size_t i = 0; i < options.size(); ++i) {
        const Rect line = Rect::at(list.x0, list.y0 + row * static_cast<float>(i) - state.scroll, list.w(), row);
        const bool possible = options[i].refused.empty();
        if (line.mid_y() < list.y0 || line.mid_y() > list.y1) {
            continue;
        }
        if (ui.touch(options[i].id, line.overlap(list), Focusable::no, possible).clicked) {
            picked = static_cast<int>(i);
        }
        ui.report(options[i].id, {.kind = "option",
                                  .label = options[i].label,
                                  .value = options[i].id == chosen ? "chosen" : "",
                                  .reason = options[i].refused,
                                  .rect = line,
                                  .fg = ui.colour(Role::text),
                                  .bg = ui.colour(Role::raised),
                                  .enabled = possible});
    }
    if (picked >= 0 && picked < static_cast<int>(options.size()) &&
        options[static_cast<std::size_t>(picked)].refused.empty()) {
        chosen = options[static_cast<std::size_t>(picked)].id;
        state.open = false;
    }
    ui.later([list, row, options, chosen, marked = state.marked, scroll = state.scroll](Ui& over) {
        Painter& brush = over.paint();
        const Colour bg = over.colour(Role::raised);
        brush.fill(list, bg, over.em(over.look().radius.control));
        brush.push_surface(bg);
        brush.push_clip(list);
        for (std::size_t i = 0; i < options.size(); ++i) {
            const Rect line = Rect::at(list.x0, list.y0 + row * static_cast<float>(i) - scroll, list.w(), row);
            const Rect words = line.shrunk(over.em(0.875F), 0);
            const bool possible = options[i].refused.empty();
            if (static_cast<int>(i) == marked) {
                brush.outline(line.shrunk(brush.px(2)), over.colour(Role::copper), brush.px(2), over.em(0.25F));
            }
            const bool on = options[i].id == chosen;
            brush.text_in(on ? Type::strong : Type::body,
                          over.colour(!possible ? Role::quiet
                                      : on      ? Role::ink
                                                : Role::text),
                          words, options[i].label);
            brush.text_in(Type::label, over.colour(Role::quiet), words, possible ? options[i].note : options[i].refused,
                          Align::right);
        }
        brush.pop_clip();
        brush.pop_surface();
        brush.outline(list, over.colour(Role::edge), brush.px(over.look().stroke.outline),
                      over.em(over.look().radius.control));
    });
    return chosen != before;
}

}  // namespace tonebath::window
