#include "window/panels/form_sheet.hpp"

#include "app/answers.hpp"
#include "base/check.hpp"
#include "base/text.hpp"

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr float kLine_em = 5.25F;       // a field with its name above
constexpr float kQuestion_em = 8.0F;    // added under a field whose question is open

bool is_choice(const app::FieldSpec& field) { return field.kind == app::FieldKind::choice && !field.choices.empty(); }

std::vector<Option> options_of(const app::FieldSpec& field) {
    std::vector<Option> options{{.id = "", .label = field.required ? "choose" : "not known"}};
    for (const std::string& choice : field.choices) {
        options.push_back({.id = choice, .label = choice});
    }
    return options;
}

// Letters for the answers of a question, in order; Esc leaves it.
Key answer_key(std::size_t index) { return letter_key(static_cast<char>('A' + static_cast<char>(index))); }

// "a, b" typed on one line stands for two lines of a repeated field.
std::string lines_of(std::string_view typed) {
    std::vector<std::string> values;
    for (const std::string& part : split(typed, ',')) {
        if (const std::string_view value = trimmed(part); !value.empty()) {
            values.emplace_back(value);
        }
    }
    return joined(values, "\n");
}

}  // namespace

void FormSheet::open(std::string_view action, const std::map<std::string, std::string>& filled) {
    spec_ = app::find_action(action);
    TB_CHECK(spec_ != nullptr);
    lines_.clear();
    kept_.clear();
    refusal_.reset();
    scroll_ = {};
    focus_first_ = true;
    const auto& left = left_[spec_->id];
    for (const app::FieldSpec& field : spec_->fields) {
        Line line;
        const auto given = filled.find(field.key);
        const auto before = left.find(field.key);
        const std::string text = given != filled.end() ? given->second : before != left.end() ? before->second : "";
        line.text.set(text);
        line.chosen = text;
        lines_.emplace(field.key, std::move(line));
    }
}

app::Form FormSheet::form() const {
    app::Form form{.action = spec_->id, .kept = kept_};
    for (const app::FieldSpec& field : spec_->fields) {
        const Line& line = lines_.at(field.key);
        std::string text = is_choice(field) || field.kind == app::FieldKind::yes_no ? line.chosen : line.text.text();
        if (field.repeated) {
            text = lines_of(text);
        }
        if (!trimmed(text).empty()) {
            form.typed[field.key] = std::move(text);
        }
    }
    return form;
}

void FormSheet::answer_question(const std::string& answer, Wishes& wishes) {
    app::Form answered = form();
    app::give_answer(answered, *refusal_, answer);
    kept_ = answered.kept;
    for (auto& [key, line] : lines_) {
        const auto typed = answered.typed.find(key);
        const std::string text = typed == answered.typed.end() ? "" : typed->second;
        if (line.text.text() != text) {
            line.text.set(text);
        }
        line.chosen = text;
    }
    refusal_.reset();
    if (answer != "Blank") {
        wishes.add(WishForm{form()});
    }
}

void FormSheet::draw_line(Ui& ui, const Rect& place, const app::FieldSpec& spec, Line& line, Wishes& wishes) {
    Rect box = place;
    box.cut_top(field_name_height(ui));
    const std::string label = spec.required ? spec.label : spec.label + ", may be left blank";
    const bool asked = refusal_ && refusal_->field == spec.label;
    if (spec.kind == app::FieldKind::yes_no) {
        const std::vector<Option> options{{.id = "", .label = "not known"}, {.id = "no", .label = "no"}, {.id = "yes", .label = "yes"}};
        ui.paint().text(Type::label, ui.colour(Role::quiet), {box.x0, place.y0 + ui.em(0.875F)}, spec.label);
        choice_segmented(ui, spec.key, box.cut_top(ui.em(2.75F)), spec.label, options, line.chosen);
        return;
    }
    if (is_choice(spec)) {
        ui.paint().text(Type::label, ui.colour(Role::quiet), {box.x0, place.y0 + ui.em(0.875F)}, label);
        choice_list(ui, spec.key, box.cut_top(ui.em(2.75F)), spec.label, options_of(spec), line.chosen, line.list);
        return;
    }
    FieldView view{.label = label, .empty = spec.help.empty() ? "not known" : spec.help, .kind = FieldKind::text};
    if (asked) {
        view.question.guess = refusal_->message;
        view.question.asks = refusal_->remedy;
        for (std::size_t i = 0; i < refusal_->answers.size(); ++i) {
            view.question.answers.push_back(
                {.id = refusal_->answers[i], .label = refusal_->answers[i], .key = KeyChord(answer_key(i), kAlt)});
        }
    }
    const FieldResult result = field(ui, spec.key, box.cut_top(field_height(ui)), view, line.text);
    if (!result.answer.empty()) {
        answer_question(result.answer, wishes);
    }
}

void FormSheet::draw(Ui& ui, float hung_from_x, Wishes& wishes) {
    if (spec_ == nullptr) {
        return;
    }
    Sheet sheet(ui, "form " + spec_->id, spec_->label, hung_from_x);
    Rect inside = sheet.inside();
    Rect head = inside.cut_top(ui.em(3.5F));
    page_head(ui, head.x0, head.y0 + ui.em(1.75F), spec_->label);
    ui.paint().text(Type::label, ui.colour(Role::quiet), {head.x0, head.y0 + ui.em(3.0F)}, spec_->help);
    Rect end = inside.cut_bottom(ui.em(4.0F));

    // Two columns of fields when there is room.
    const int columns = ui.width() == Width::narrow || spec_->fields.size() < 5 ? 1 : 2;
    const std::size_t rows = (spec_->fields.size() + static_cast<std::size_t>(columns) - 1) / static_cast<std::size_t>(columns);
    const float question_h = refusal_ ? ui.em(kQuestion_em) : 0.0F;
    const float content_h = static_cast<float>(rows) * ui.em(kLine_em) + question_h;
    Rect content = begin_scroll(ui, "fields", inside, content_h, scroll_);
    const std::vector<Rect> sides = content.columns(columns, ui.em(2.0F));
    std::vector<float> y(sides.size(), content.y0);
    for (std::size_t i = 0; i < spec_->fields.size(); ++i) {
        const app::FieldSpec& field = spec_->fields[i];
        const std::size_t side = i / rows;
        const bool asked = refusal_ && refusal_->field == field.label && !refusal_->answers.empty();
        const float h = ui.em(kLine_em) + (asked ? question_h : 0.0F);
        draw_line(ui, {sides[side].x0, y[side], sides[side].x1, y[side] + h}, field, lines_.at(field.key), wishes);
        y[side] += h;
    }
    end_scroll(ui);
    if (focus_first_ && !spec_->fields.empty()) {
        ui.focus(spec_->fields.front().key, true);
        focus_first_ = false;
    }

    const bool question_open = refusal_ && !refusal_->answers.empty();
    Rect buttons = end.cut_bottom(ui.em(2.75F));
    const float width = button_width(ui, "Write it down", KeyChord(Key::enter, kCtrl));
    if (question_open) {
        button_plain(ui, "send", buttons.cut_left(width), "Write it down", KeyChord(Key::enter, kCtrl),
                     {.refused = "answer the question first", .refused_mark = Mark::ask});
    } else if (button_do(ui, "send", buttons.cut_left(width), "Write it down", KeyChord(Key::enter, kCtrl))) {
        wishes.add(WishForm{form()});
    }
    buttons.cut_left(ui.em(1.0F));
    const bool leave = button_quiet(ui, "leave", buttons.cut_left(button_width(ui, "Leave it", KeyChord(Key::esc))), "Leave it",
                                    KeyChord(Key::esc), {.take_key = false});
    if (refusal_ && !question_open) {
        buttons.cut_left(ui.em(1.5F));
        ui.paint().text_wrapped(Type::label, ui.colour(Role::look), {buttons.x0, buttons.y0 + ui.em(1.0F)}, buttons.w(),
                                refusal_->text());
    }
    if (leave || sheet.closed()) {
        auto& left = left_[spec_->id];
        left.clear();
        for (const auto& [key, text] : form().typed) {
            left[key] = text;
        }
        spec_ = nullptr;
    }
}

void FormSheet::told(const Told& told) {
    if (!owns(told.form)) {
        return;
    }
    if (told.answer) {
        left_.erase(spec_->id);
        spec_ = nullptr;
        return;
    }
    refusal_ = told.answer.error();
}

}  // namespace tonebath::window
