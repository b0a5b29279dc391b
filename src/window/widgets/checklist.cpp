#include "window/widgets/blocks.hpp"

#include <cmath>

namespace tonebath::window {

namespace {

Mark level_mark(const ChecklistItem& item) {
    switch (item.level) {
        case CheckLevel::stop:
            return item.state == CheckState::answered || item.state == CheckState::does_not_apply ? Mark::stop_answered
                                                                                                  : Mark::stop;
        case CheckLevel::must: return Mark::must;
        case CheckLevel::advise: break;
    }
    return Mark::advise;
}

std::string_view level_word(CheckLevel level) {
    switch (level) {
        case CheckLevel::stop: return "stop";
        case CheckLevel::must: return "must";
        case CheckLevel::advise: break;
    }
    return "advise";
}

Mark state_mark(CheckState state) {
    switch (state) {
        case CheckState::answered: return Mark::done;
        case CheckState::passed_over: return Mark::over;
        case CheckState::does_not_apply:
        case CheckState::open:
        case CheckState::current: break;
    }
    return Mark::open;
}

std::string value_of(const ChecklistItem& item) {
    switch (item.state) {
        case CheckState::answered: return "done: " + item.answer;
        case CheckState::passed_over: return "passed over: " + item.answer;
        case CheckState::does_not_apply: return "does not apply";
        case CheckState::open:
        case CheckState::current: break;
    }
    return "not answered";
}

std::string answer_words(const ChecklistItem& item) {
    if (item.state == CheckState::does_not_apply) {
        return "does not apply";
    }
    return item.answer.empty() ? std::string("not answered") : item.answer;
}

// The item in hand: raised, framed in the colour of its level, with why, and the answers as buttons.
std::optional<QuestionAnswerUsed> current_item(Ui& ui, const Rect& r, const ChecklistItem& item) {
    Painter& paint = ui.paint();
    const bool stop = item.level == CheckLevel::stop;
    const Colour frame = ui.colour(stop ? Role::stop : Role::copper);
    const float radius = ui.em(ui.look().radius.slab);
    const Colour bg = ui.colour(Role::raised);
    paint.fill(r, bg, radius);
    paint.outline(r, frame, paint.px(2), radius);
    paint.push_surface(bg);
    draw_mark(ui, level_mark(item), {r.x0 + ui.em(1.75F), r.y0 + ui.em(2.125F)}, ui.em(0.8125F));
    const float x = r.x0 + ui.em(3.75F);
    const float right = r.x1 - ui.em(1);
    const float level = paint.text_width(Type::strong, level_word(item.level));
    paint.text(Type::leads, ui.colour(Role::ink), {x, r.y0 + ui.em(1.875F)},
               paint.ellipsis(Type::leads, right - x - level - ui.em(1), item.text));
    paint.text(Type::strong, stop ? frame : ui.colour(Role::text), {right, r.y0 + ui.em(1.875F)},
               level_word(item.level), Align::right);
    paint.text(Type::label, ui.colour(Role::text), {x, r.y0 + ui.em(3.3125F)},
               paint.ellipsis(Type::label, right - x, item.why));
    std::optional<QuestionAnswerUsed> out;
    float button_x = x;
    for (std::size_t i = 0; i < item.answers.size(); ++i) {
        const QuestionAnswer& answer = item.answers[i];
        const Rect button = Rect::at(button_x, r.y0 + ui.em(4),
                                     button_width(ui, answer.label, answer.key) + ui.em(0.625F), ui.em(2.75F));
        const bool used = i == 0 ? button_do(ui, answer.id, button, answer.label, answer.key)
                                 : button_plain(ui, answer.id, button, answer.label, answer.key);
        if (used) {
            out = QuestionAnswerUsed{item.id, answer.id};
        }
        button_x = button.x1 + ui.em(0.75F);
    }
    const float room = right - button_x;
    if (!item.consequence.empty() && paint.text_width(Type::label, item.consequence) <= room) {
        paint.text(Type::label, ui.colour(Role::text), {right, r.y0 + ui.em(5.75F)}, item.consequence, Align::right);
    }
    paint.pop_surface();
    ui.report("item", {.kind = "checklist item",
                       .label = item.text,
                       .value = value_of(item),
                       .rect = r,
                       .fg = ui.colour(Role::ink),
                       .bg = bg,
                       .interactive = false});
    return out;
}

}  // namespace

float checklist_height(const Ui& ui, const ChecklistItem& item) {
    return ui.em(item.state == CheckState::current ? 7.375F : 3.375F);
}

std::optional<QuestionAnswerUsed> checklist_item(Ui& ui, const Rect& place, const ChecklistItem& item) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope(item.id);
    const Rect r = place.snapped();
    if (item.state == CheckState::current) {
        return current_item(ui, r, item);
    }
    const Touch touch = ui.touch("item", r, Focusable::yes);
    const float mid = r.mid_y();
    draw_mark(ui, level_mark(item), {r.x0 + ui.em(1.75F), mid}, ui.em(0.8125F));
    const float x = r.x0 + ui.em(3.75F);
    const float state_x = r.x1 - ui.em(0.875F);
    const float answer_x = r.x1 - ui.em(2.5F);
    const bool settled = item.state == CheckState::answered || item.state == CheckState::passed_over;
    const std::string answer = answer_words(item);
    const float text_room = answer_x - x - ui.em(1);
    const float text_width =
        std::min(paint.text_width(settled ? Type::strong : Type::body, item.text), text_room * 0.8F);
    const float answer_room = text_room - text_width;
    paint.text_in(settled ? Type::strong : Type::body, ui.colour(settled ? Role::ink : Role::text),
                  {x, r.y0, x + text_width + 1, r.y1}, item.text);
    paint.text_in(Type::label, ui.colour(Role::quiet), {answer_x - answer_room, r.y0, answer_x, r.y1}, answer,
                  Align::right);
    draw_mark(ui, state_mark(item.state), {state_x, mid}, ui.em(0.5625F));
    divider(ui, x - ui.em(0.25F), r.x1, r.y1 - paint.px(1));
    if (touch.ring) {
        ui.draw_focus_ring(r.shrunk(paint.px(6)), ui.em(ui.look().radius.control));
    }
    ui.report("item", {.kind = "checklist item",
                       .label = item.text,
                       .value = value_of(item),
                       .rect = r,
                       .fg = ui.colour(Role::ink),
                       .bg = paint.surface()});
    if (touch.activated) {
        return QuestionAnswerUsed{item.id, {}};
    }
    return std::nullopt;
}

}  // namespace tonebath::window
