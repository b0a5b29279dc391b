#include "window/widgets/blocks.hpp"

#include <algorithm>

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

constexpr float kButton = 3.0F;  // em: 48 px at scale 1, for gloves

// What stands where in the item in hand, from the top of its slab.
struct CurrentLayout {
    float x = 0, right = 0;
    std::vector<std::string> text, why, sources;
    float buttons = 0, height = 0;
};
CurrentLayout current_layout(const Ui& ui, float width, const ChecklistItem& item) {
    const Painter& paint = ui.paint();
    CurrentLayout at;
    at.x = ui.em(3.75F);
    at.right = width - ui.em(1.0F);
    const float level = paint.text_width(Type::strong, level_word(item.level));
    at.text = paint.wrap(Type::leads, at.right - at.x - level - ui.em(1.0F), item.text);
    at.why = paint.wrap(Type::label, at.right - at.x, item.why);
    at.sources = paint.wrap(Type::label, at.right - at.x, item.sources);
    at.buttons = ui.em(0.875F) + ui.em(1.5F) * static_cast<float>(at.text.size()) + ui.em(1.25F) * static_cast<float>(at.why.size() + at.sources.size()) +
                 ui.em(0.5F);
    at.height = at.buttons + (item.answers.empty() && !item.entry ? 0.0F : ui.em(kButton)) + ui.em(0.625F);
    return at;
}

// The item in hand: raised, framed in the colour of its level, with why and who says so, and the answers as buttons.
std::optional<QuestionAnswerUsed> current_item(Ui& ui, const Rect& r, const ChecklistItem& item, Rect* entry) {
    Painter& paint = ui.paint();
    const CurrentLayout at = current_layout(ui, r.w(), item);
    const bool stop = item.level == CheckLevel::stop;
    const Colour frame = ui.colour(stop ? Role::stop : Role::copper);
    const float radius = ui.em(ui.look().radius.slab);
    const Colour bg = ui.colour(Role::raised);
    paint.fill(r, bg, radius);
    paint.outline(r, frame, paint.px(2), radius);
    paint.push_surface(bg);
    draw_mark(ui, level_mark(item), {r.x0 + ui.em(1.75F), r.y0 + ui.em(1.625F)}, ui.em(0.8125F));
    const float x = r.x0 + at.x;
    const float right = r.x0 + at.right;
    paint.text(Type::strong, stop ? frame : ui.colour(Role::text), {right, r.y0 + ui.em(2.0F)}, level_word(item.level), Align::right);
    float y = r.y0 + ui.em(2.0F);
    const auto lines = [&](Type type, Role role, const std::vector<std::string>& words, float step_em) {
        for (const std::string& line : words) {
            paint.text(type, ui.colour(role), {x, y}, line);
            y += ui.em(step_em);
        }
    };
    lines(Type::leads, Role::ink, at.text, 1.5F);
    y -= ui.em(0.125F);
    lines(Type::label, Role::text, at.why, 1.25F);
    lines(Type::label, Role::quiet, at.sources, 1.25F);
    std::optional<QuestionAnswerUsed> out;
    float button_x = x;
    const float top = r.y0 + at.buttons;
    if (item.entry && entry != nullptr) {
        *entry = Rect{x, top, right, top + ui.em(kButton)};
    }
    for (std::size_t i = 0; i < item.answers.size() && !item.entry; ++i) {
        const QuestionAnswer& answer = item.answers[i];
        const float width = std::min(button_width(ui, answer.label, answer.key) + ui.em(0.625F), right - button_x);
        const Rect button = Rect::at(button_x, top, width, ui.em(kButton));
        const ButtonStyle style{.bench = true};
        const bool used = i == 0 && item.first_copper ? button_do(ui, answer.id, button, answer.label, answer.key, style)
                                                      : button_plain(ui, answer.id, button, answer.label, answer.key, style);
        if (used) {
            out = QuestionAnswerUsed{item.id, answer.id};
        }
        button_x = button.x1 + ui.em(0.75F);
    }
    const float room = right - button_x;
    if (!item.consequence.empty() && !item.entry && paint.text_width(Type::label, item.consequence) <= room) {
        paint.text(Type::label, ui.colour(Role::text), {right, top + ui.em(1.75F)}, item.consequence, Align::right);
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

// The words of a row, in at most two lines, and the room that its answer has beside them.
struct RowLayout {
    std::vector<std::string> text;
    float text_width = 0, answer_room = 0;
};
RowLayout row_layout(const Ui& ui, float width, const ChecklistItem& item, Type type) {
    const Painter& paint = ui.paint();
    RowLayout row;
    const float room = width - ui.em(3.75F) - ui.em(2.5F) - ui.em(1.0F);
    const float answer = std::min(paint.text_width(Type::label, answer_words(item)) + ui.em(1.0F), room * 0.42F);
    row.text = paint.wrap(type, room - answer, item.text);
    if (row.text.size() > 2) {
        std::string rest = row.text[1];
        for (std::size_t i = 2; i < row.text.size(); ++i) {
            rest += " " + row.text[i];
        }
        row.text = {row.text[0], paint.ellipsis(type, room - answer, rest)};
    }
    for (const std::string& line : row.text) {
        row.text_width = std::max(row.text_width, paint.text_width(type, line));
    }
    row.answer_room = room - row.text_width;
    return row;
}

bool is_settled(const ChecklistItem& item) {
    return item.state == CheckState::answered || item.state == CheckState::passed_over;
}

}  // namespace

float checklist_height(const Ui& ui, const ChecklistItem& item, float width) {
    if (item.state == CheckState::current) {
        return ui.em(0.375F) + current_layout(ui, width, item).height;
    }
    const Type type = is_settled(item) ? Type::strong : Type::body;
    return ui.em(row_layout(ui, width, item, type).text.size() > 1 ? 3.625F : 3.375F);
}

std::optional<QuestionAnswerUsed> checklist_item(Ui& ui, const Rect& place, const ChecklistItem& item, Rect* entry) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope(item.id);
    const Rect r = place.snapped();
    if (item.state == CheckState::current) {
        return current_item(ui, {r.x0, r.y0, r.x1, r.y1 - ui.em(0.375F)}, item, entry);
    }
    const Touch touch = ui.touch("item", r, Focusable::yes);
    const float mid = r.mid_y();
    draw_mark(ui, level_mark(item), {r.x0 + ui.em(1.75F), mid}, ui.em(0.8125F));
    const float x = r.x0 + ui.em(3.75F);
    const float state_x = r.x1 - ui.em(0.875F);
    const float answer_x = r.x1 - ui.em(2.5F);
    const Type type = is_settled(item) ? Type::strong : Type::body;
    const RowLayout row = row_layout(ui, r.w(), item, type);
    const float step = ui.em(1.3125F);
    float top = mid - step * static_cast<float>(row.text.size()) / 2.0F;
    for (const std::string& line : row.text) {
        paint.text_in(type, ui.colour(is_settled(item) ? Role::ink : Role::text), {x, top, x + row.text_width + 1, top + step}, line);
        top += step;
    }
    paint.text_in(Type::label, ui.colour(Role::quiet), {answer_x - row.answer_room, r.y0, answer_x, r.y1}, answer_words(item), Align::right);
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
