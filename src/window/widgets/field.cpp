#include "window/widgets/field.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

Type letters_of(const FieldView& view) {
    return view.big ? Type::title : view.plain_letters ? Type::lead : Type::leads;
}

// Byte position in the text whose left edge is nearest to x (px from the text's start).
std::size_t place_under(const Painter& paint, Type type, const std::string& text, float x) {
    std::size_t best = 0;
    float best_distance = std::abs(x);
    for (std::size_t at = 1; at <= text.size(); ++at) {
        if (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xc0U) == 0x80) {
            continue;
        }
        const float away = std::abs(paint.text_width(type, std::string_view(text).substr(0, at)) - x);
        if (away < best_distance) {
            best_distance = away;
            best = at;
        }
    }
    return best;
}

// The answer whose letter this typed sign is; number fields give their letters to the question.
const QuestionAnswer* answer_for(const Question& question, FieldKind kind, const InputEvent& event) {
    for (const QuestionAnswer& answer : question.answers) {
        if (event.kind == InputEvent::Kind::key && event.key.key == answer.key.key &&
            event.key.mods == answer.key.mods && (kind == FieldKind::number || answer.key.key == Key::esc)) {
            return &answer;
        }
    }
    return nullptr;
}

bool is_answer_letter(const Question& question, const std::string& utf8) {
    return utf8.size() == 1 && std::any_of(question.answers.begin(), question.answers.end(), [&](const auto& answer) {
               return letter_key(utf8[0]) != Key::none && letter_key(utf8[0]) == answer.key.key;
           });
}

struct Typed {
    bool changed = false;
    bool enter = false;
    bool escape = false;
    std::string answer;
};

Typed take_typed(Ui& ui, std::string_view id, const FieldView& view, FieldState& state) {
    Typed out;
    const bool asking = view.question.open();
    for (const InputEvent& event : ui.take_typing(id)) {
        if (event.kind == InputEvent::Kind::text) {
            if (!(asking && view.kind == FieldKind::number && is_answer_letter(view.question, event.text.utf8))) {
                const std::string was = state.edit.text();
                state.edit.insert(event.text.utf8);
                out.changed = out.changed || was != state.edit.text();
            }
            continue;
        }
        if (asking) {
            if (const QuestionAnswer* answer = answer_for(view.question, view.kind, event)) {
                out.answer = answer->id;
                continue;
            }
        }
        if (event.key.key == Key::enter) {
            out.enter = out.enter || !asking;  // a wet press never takes a guess
        } else if (event.key.key == Key::esc) {
            out.escape = true;
        } else {
            const std::string was = state.edit.text();
            std::string clipboard = ui.read_clipboard();
            bool written = false;
            state.edit.press(event.key, clipboard, written);
            if (written) {
                ui.write_clipboard(clipboard);
            }
            out.changed = out.changed || was != state.edit.text();
        }
    }
    return out;
}

void draw_value(Ui& ui, const Rect& inside, const FieldView& view, FieldState& state, bool focused) {
    Painter& paint = ui.paint();
    const Type type = letters_of(view);
    const FontFace& face = ui.fonts()[type];
    const std::string& text = state.edit.text();
    const float baseline = std::round(inside.mid_y() + face.cap_px * 0.5F);
    if (text.empty()) {
        // What may be typed here; in smaller letters when it would be cut.
        const Type help = paint.text_width(type, view.empty) <= inside.w() ? type : Type::label;
        paint.text_in(help, ui.colour(Role::unknown), {inside.x0 + (focused ? paint.px(6) : 0), inside.y0, inside.x1, inside.y1}, view.empty);
        if (!focused) {
            return;
        }
    }
    const float caret_x = paint.text_width(type, std::string_view(text).substr(0, state.edit.caret()));
    const float whole = paint.text_width(type, text);
    const float room = std::max(1.0F, inside.w() - paint.px(3));
    state.scroll = std::clamp(state.scroll, std::max(0.0F, caret_x - room), std::max(0.0F, caret_x));
    state.scroll = std::min(state.scroll, std::max(0.0F, whole - room));
    if (!focused) {
        state.scroll = 0;
    }
    paint.push_clip(inside.grown(paint.px(1)));
    const float x = inside.x0 - std::round(state.scroll);
    if (focused && state.edit.has_mark()) {
        const float from = paint.text_width(type, std::string_view(text).substr(0, state.edit.mark_from()));
        const float to = paint.text_width(type, std::string_view(text).substr(0, state.edit.mark_to()));
        paint.fill({x + from, baseline - face.cap_px - ui.em(0.25F), x + to, baseline + ui.em(0.25F)},
                   ui.colour(Role::copper).faded(0.35F));
    }
    const bool cut = !focused && whole > inside.w();
    paint.text(type, ui.colour(view.refused.empty() ? Role::ink : Role::quiet), {x, baseline},
               cut ? paint.ellipsis(type, inside.w(), text) : text);
    if (view.from_memory && !text.empty()) {
        const float y = std::round(inside.mid_y() + face.cap_px * 0.5F + ui.em(0.5F));
        const std::vector<Vec2> under{{x, y}, {x + std::min(whole, inside.w()), y}};
        paint.dashed(under, ui.colour(Role::look), paint.px(2), paint.px(3), paint.px(3), false);
    }
    if (focused) {
        const float caret = std::round(x + caret_x + paint.px(1));
        paint.fill({caret, baseline - face.cap_px - ui.em(0.3125F), caret + paint.px(2), baseline + ui.em(0.3125F)},
                   ui.colour(Role::copper));
    }
    paint.pop_clip();
}

std::string draw_question(Ui& ui, std::string_view id, const Rect& box, const FieldView& view, const Rect* place,
                          const Rect* answers_place) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope(id);
    const Rect words = place != nullptr ? *place
                                        : Rect{box.x0, box.y1 + ui.em(0.75F), std::max(box.x1, box.x0 + ui.em(30)),
                                               box.y1 + ui.em(3.25F)};
    const float first = words.y0 + ui.em(1.0F);
    draw_mark(ui, Mark::ask, {words.x0 + ui.em(0.5625F), std::round(first - ui.fonts()[Type::strong].cap_px * 0.5F)},
              ui.em(0.5625F));
    const float x = words.x0 + ui.em(1.625F);
    paint.text(Type::strong, ui.colour(Role::ink), {x, first}, view.question.guess);
    paint.text(Type::label, ui.colour(Role::text), {x, first + ui.em(1.375F)}, view.question.asks);
    const Rect row =
        answers_place != nullptr ? *answers_place : Rect::at(box.x0, words.y1 + ui.em(0.5F), ui.em(60), ui.em(2.75F));
    float button_x = row.x0;
    std::string used;
    for (const QuestionAnswer& answer : view.question.answers) {
        const Rect r = Rect::at(button_x, row.y0, button_width(ui, answer.label, answer.key), row.h());
        if (button_plain(ui, answer.id, r, answer.label, answer.key)) {
            used = answer.id;
        }
        button_x = r.x1 + ui.em(0.75F);
    }
    return used;
}

}  // namespace

float field_height(const Ui& ui, bool big) {
    return ui.em(big ? 3.25F : 3);
}

float field_name_height(const Ui& ui) {
    return ui.em(1.25F);
}

FieldResult field(Ui& ui, std::string_view id, const Rect& place, const FieldView& view, FieldState& state,
                  const Rect* question_place, const Rect* answers_place) {
    Painter& paint = ui.paint();
    const Rect r = place.snapped();
    const bool enabled = view.refused.empty();
    const bool asking = view.question.open();
    const Touch touch = ui.touch(id, r, Focusable::text, enabled);
    const Type type = letters_of(view);
    const Rect inside{r.x0 + ui.em(view.big ? 1 : 0.875F), r.y0, r.x1 - ui.em(view.big ? 1 : 0.875F), r.y1};
    FieldResult out;
    if (touch.pressed || (touch.held && touch.focused)) {
        state.edit.place_caret(place_under(paint, type, state.text(), touch.at.x - inside.x0 + state.scroll),
                               !touch.pressed || touch.mods.shift);
    }
    const Typed typed = take_typed(ui, id, view, state);
    out.changed = typed.changed;
    out.escaped = typed.escape;
    out.answer = typed.answer;
    state.dirty = state.dirty || typed.changed;
    out.left = state.had_keys && !touch.focused;
    if (typed.enter || (out.left && state.dirty)) {
        out.entered = true;
        state.dirty = false;
    }
    if (touch.ring && !state.had_keys) {
        state.edit.mark_all();  // come to by Tab: typing replaces it, and Ctrl Z brings it back
    }
    state.had_keys = touch.focused;

    if (view.name_shown) {
        std::string name = view.label;
        if (view.from_memory) {
            name += ", from memory";
        }
        paint.text(Type::label, ui.colour(Role::text), {r.x0, r.y0 - ui.em(0.5F)}, name);
    }
    const float radius = ui.em(ui.look().radius.control);
    const Colour well = ui.colour(Role::well);
    paint.fill(r, well, radius);
    const Role edge = asking ? Role::look : touch.focused ? Role::copper : enabled ? Role::edge : Role::line;
    const bool heavy = asking || touch.focused;
    paint.outline(r, ui.colour(edge), paint.px(heavy ? ui.look().stroke.mark : ui.look().stroke.outline), radius);
    paint.push_surface(well);
    const std::string& right = view.unit.empty() ? view.note : view.unit;
    const Type right_type = !view.unit.empty() ? (view.big ? Type::lead : Type::body) : Type::label;
    float room = inside.x1;
    if (!right.empty()) {
        const float mark = view.kept_against_question ? ui.em(1.5F) : 0;
        paint.text_in(right_type, ui.colour(Role::quiet), inside, right, Align::right);
        room -= paint.text_width(right_type, right) + ui.em(0.5F) + mark;
    }
    if (view.kept_against_question) {
        draw_mark(ui, Mark::ask, {room + ui.em(0.75F), inside.mid_y()}, ui.em(0.5F));
    }
    draw_value(ui, {inside.x0, inside.y0, std::max(inside.x0 + 1, room), inside.y1}, view, state, touch.focused);
    paint.pop_surface();
    if (!enabled) {
        paint.text(Type::label, ui.colour(Role::text), {r.x0, r.y1 + ui.em(1.125F)}, view.refused);
    }
    ui.report(id, {.kind = "field",
                   .label = view.label,
                   .value = state.text() + (view.unit.empty() || state.text().empty() ? "" : " " + view.unit),
                   .reason = view.refused,
                   .rect = r,
                   .fg = ui.colour(state.text().empty() ? Role::unknown : Role::ink),
                   .bg = well,
                   .enabled = enabled});
    if (asking) {
        const std::string used = draw_question(ui, id, r, view, question_place, answers_place);
        if (out.answer.empty()) {
            out.answer = used;
        }
    }
    return out;
}

}  // namespace tonebath::window
