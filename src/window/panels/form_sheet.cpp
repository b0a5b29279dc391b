#include "window/panels/form_sheet.hpp"

#include "app/answers.hpp"
#include "app/paper/paper_forms.hpp"
#include "base/check.hpp"
#include "base/text.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr float kLine_em = 5.25F;       // a field with its name above

bool is_choice(const app::FieldSpec& field) { return field.kind == app::FieldKind::choice && !field.choices.empty(); }

bool is_chosen(const app::FieldSpec& field) { return is_choice(field) || field.kind == app::FieldKind::yes_no; }

// What the keys stand on in a field: its box, or the row of its options.
std::string stop_of(const app::FieldSpec& field) { return field.kind == app::FieldKind::yes_no ? field.key + "/keys" : field.key; }

// What was refused: the value and, where the question stands under no field, the field's name before it.
std::string what_is_wrong(const Refusal& refusal, bool under_its_field) {
    std::string words = under_its_field ? "" : refusal.field;
    if (!refusal.value.empty()) {
        words += (words.empty() ? "" : " ") + refusal.value;
    }
    return words.empty() ? refusal.message : words + ": " + refusal.message;
}

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
    const app::PaperForm* paper = app::find_paper_form(action);
    spec_ = paper != nullptr ? &paper->words : app::find_action(action);
    TB_CHECK(spec_ != nullptr);
    lines_.clear();
    kept_.clear();
    refusal_.reset();
    asked_.clear();
    scroll_ = {};
    seen_focus_.clear();
    focus_ = spec_->fields.empty() ? "" : stop_of(spec_->fields.front());
    opened_ = spec_->id;
    for (const auto& [key, text] : filled) {
        opened_ += "\n" + key + "=" + text;
    }
    const auto& left = left_[opened_];
    for (const app::FieldSpec& field : spec_->fields) {
        Line line;
        const auto given = filled.find(field.key);
        const auto before = left.find(field.key);
        std::string text = before != left.end() ? before->second : given != filled.end() ? given->second : "";
        if (field.repeated) {
            text = joined(split(text, '\n'), ", ");
        }
        line.text.set(text);
        line.chosen = text;
        lines_.emplace(field.key, std::move(line));
    }
}

app::Form FormSheet::form() const {
    app::Form form{.action = spec_->id, .kept = kept_};
    for (const app::FieldSpec& field : spec_->fields) {
        const Line& line = lines_.at(field.key);
        std::string text = is_chosen(field) ? line.chosen : line.text.text();
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
    asked_.clear();
    if (answer != "Blank") {
        wishes.add(WishForm{form()});
    }
}

// Enter on a field: the keys go to the next one, and from the last one the form is sent. While a kind question is open
// Enter takes nothing.
void FormSheet::go_on(std::size_t index) {
    if (refusal_ && !refusal_->answers.empty()) {
        return;
    }
    if (index + 1 < spec_->fields.size()) {
        focus_ = stop_of(spec_->fields[index + 1]);
    } else {
        send_ = true;
    }
}

// One field, and the question under it when it is the one that was refused.
void FormSheet::draw_line(Ui& ui, const Rect& place, std::size_t index) {
    const app::FieldSpec& spec = spec_->fields[index];
    Line& line = lines_.at(spec.key);
    Rect box = place;
    box.cut_top(field_name_height(ui));
    box = box.cut_top(field_height(ui));
    const std::string label = spec.required ? spec.label + ", needed" : spec.label;
    bool changed = false;
    if (spec.kind == app::FieldKind::yes_no) {
        const std::vector<Option> options{{.id = "", .label = "not known"}, {.id = "no", .label = "no"}, {.id = "yes", .label = "yes"}};
        ui.paint().text(Type::label, ui.colour(Role::text), {box.x0, box.y0 - ui.em(0.5F)}, label);
        if (ui.focused_path() == ui.path_of(stop_of(spec)) && ui.pressed(Key::enter)) {
            go_on(index);
        }
        changed = choice_segmented(ui, spec.key, box, spec.label, options, line.chosen, false);
    } else if (is_choice(spec)) {
        changed = choice_list(ui, spec.key, box, label, options_of(spec), line.chosen, line.list);
        if (changed && index + 1 < spec_->fields.size()) {
            go_on(index);  // chosen: the next one
        }
    } else {
        const FieldView view{.label = label, .empty = spec.help.empty() ? "not known" : spec.help, .kind = FieldKind::text};
        const FieldResult result = field(ui, spec.key, box, view, line.text);
        changed = result.changed;
        escaped_ = escaped_ || result.escaped;
        if (result.entered && !result.left) {
            go_on(index);
        }
    }
    if (asked_ == spec.key) {
        ui.paint().outline(box.snapped(), ui.colour(Role::look), ui.px(ui.look().stroke.mark), ui.em(ui.look().radius.control));
        if (changed) {
            refusal_.reset();  // typed anew: that is an answer too
            asked_.clear();
        }
    }
}

float FormSheet::question_height(const Ui& ui, float width) const {
    if (!refusal_) {
        return 0.0F;
    }
    const auto lines = [&](Type type, const std::string& words) {
        return static_cast<float>(ui.paint().wrap(type, width - ui.em(1.625F), words).size()) * ui.fonts()[type].line_px;
    };
    float h = ui.em(0.75F) + lines(Type::strong, what_is_wrong(*refusal_, !asked_.empty())) + lines(Type::label, refusal_->remedy);
    float x = 0.0F;
    for (std::size_t i = 0; i < refusal_->answers.size(); ++i) {
        const float w = button_width(ui, refusal_->answers[i], KeyChord(answer_key(i), kAlt));
        if (i == 0 || x + w > width) {
            h += ui.em(3.25F);
            x = 0.0F;
        }
        x += w + ui.em(0.75F);
    }
    return h;
}

// What is wrong, what to do, and the answers; returns the one that was used.
std::string FormSheet::draw_question(Ui& ui, const Rect& place) const {
    const auto scope = ui.scope("question");
    Painter& paint = ui.paint();
    const float x = place.x0 + ui.em(1.625F);
    float y = place.y0 + ui.em(1.125F);
    draw_mark(ui, Mark::ask, {place.x0 + ui.em(0.5625F), std::round(y - ui.fonts()[Type::strong].cap_px * 0.5F)}, ui.em(0.5625F));
    y += paint.text_wrapped(Type::strong, ui.colour(Role::ink), {x, y}, place.x1 - x, what_is_wrong(*refusal_, !asked_.empty()));
    y += paint.text_wrapped(Type::label, ui.colour(Role::text), {x, y}, place.x1 - x, refusal_->remedy);
    y -= ui.em(0.625F);
    std::string used;
    float at = place.x0;
    for (std::size_t i = 0; i < refusal_->answers.size(); ++i) {
        const KeyChord key(answer_key(i), kAlt);
        const float w = button_width(ui, refusal_->answers[i], key);
        if (i > 0 && at + w > place.x1) {
            at = place.x0;
            y += ui.em(3.25F);
        }
        if (button_plain(ui, refusal_->answers[i], Rect::at(at, y, w, ui.em(2.75F)), refusal_->answers[i], key)) {
            used = refusal_->answers[i];
        }
        at += w + ui.em(0.75F);
    }
    return used;
}

std::string FormSheet::draw_fields(Ui& ui, const Rect& inside) {
    // Two columns of fields when there is room.
    const int columns = ui.width() == Width::narrow || spec_->fields.size() < 5 ? 1 : 2;
    const std::size_t rows = (spec_->fields.size() + static_cast<std::size_t>(columns) - 1) / static_cast<std::size_t>(columns);
    const float side_w = (inside.w() - ui.em(1.0F) - ui.em(2.0F) * static_cast<float>(columns - 1)) / static_cast<float>(columns);
    const float question_h = question_height(ui, side_w);
    const std::string focused = ui.focused_path();
    std::vector<float> tops;
    float content_h = 0.0F;
    float y = 0.0F;
    for (std::size_t i = 0; i < spec_->fields.size(); ++i) {
        const std::string& key = spec_->fields[i].key;
        y = i % rows == 0 ? 0.0F : y;
        tops.push_back(y);
        y += ui.em(kLine_em) + (key == asked_ ? question_h : 0.0F);
        content_h = std::max(content_h, y);
        if (ui.path_of(stop_of(spec_->fields[i])) == focused && focused != seen_focus_) {
            scroll_.offset = std::clamp(scroll_.offset, y - inside.h(), tops.back());  // the field with the keys is in sight
        }
    }
    seen_focus_ = focused;
    const Rect content = begin_scroll(ui, "fields", inside, content_h, scroll_, true);
    const std::vector<Rect> sides = content.columns(columns, ui.em(2.0F));
    std::string used;
    for (std::size_t i = 0; i < spec_->fields.size(); ++i) {
        const app::FieldSpec& field = spec_->fields[i];
        const Rect& side = sides[i / rows];
        const Rect place{side.x0, content.y0 + tops[i], side.x1, content.y0 + tops[i] + ui.em(kLine_em)};
        const bool seen = place.y0 + ui.em(4.0F) <= inside.y1 && place.y0 >= inside.y0 - ui.em(0.25F);
        if (!seen && ui.path_of(stop_of(field)) != focused) {
            // Out of sight it can be reached by Tab and not by the pointer.
            static_cast<void>(ui.touch(stop_of(field), {}, is_chosen(field) ? Focusable::yes : Focusable::text));
            continue;
        }
        draw_line(ui, place, i);
        if (asked_ == field.key) {
            used = draw_question(ui, {place.x0, place.y0 + ui.em(4.25F), place.x1, place.y1 + question_h});
        }
    }
    end_scroll(ui);
    return used;
}

void FormSheet::draw(Ui& ui, float hung_from_x, Wishes& wishes) {
    if (spec_ == nullptr) {
        return;
    }
    escaped_ = false;
    send_ = false;
    Sheet sheet(ui, "form " + spec_->id, spec_->label, hung_from_x);
    Rect inside = sheet.inside();
    const Rect head = inside.cut_top(ui.em(4.25F));
    page_head(ui, head.x0, head.y0 + ui.em(1.75F), spec_->label);
    ui.paint().text(Type::label, ui.colour(Role::quiet), {head.x0, head.y0 + ui.em(3.25F)}, ui.paint().ellipsis(Type::label, head.w(), spec_->help));
    Rect buttons = inside.cut_bottom(ui.em(2.75F));
    inside.cut_bottom(ui.em(1.0F));
    std::string answer;
    if (refusal_ && asked_.empty()) {  // it means no field of this form
        const Rect place = inside.cut_bottom(question_height(ui, inside.w()));
        answer = draw_question(ui, place);
    }
    if (const std::string used = draw_fields(ui, inside); !used.empty()) {
        answer = used;
    }
    if (!focus_.empty()) {
        ui.focus(focus_, true);
        focus_.clear();
    }
    const bool question_open = refusal_ && !refusal_->answers.empty();
    const float width = button_width(ui, "Write it down", KeyChord(Key::enter, kCtrl)) + ui.em(0.5F);
    const Rect leave_place = [&] {
        Rect rest = buttons;
        return rest.cut_right(button_width(ui, "Leave it", KeyChord(Key::esc)) + ui.em(0.5F));
    }();
    if (question_open) {
        button_plain(ui, "send", buttons.cut_left(width), "Write it down", KeyChord(Key::enter, kCtrl),
                     {.refused = "answer the question, or type it anew", .refused_mark = Mark::ask});
    } else if (button_do(ui, "send", buttons.cut_left(width), "Write it down", KeyChord(Key::enter, kCtrl)) || send_) {
        wishes.add(WishForm{form()});
    }
    const bool leave = button_quiet(ui, "leave", leave_place, "Leave it", KeyChord(Key::esc), {.take_key = false});
    if (!answer.empty()) {
        answer_question(answer, wishes);
    }
    if (leave || escaped_ || sheet.closed()) {
        auto& left = left_[opened_];
        left.clear();
        for (const app::FieldSpec& field : spec_->fields) {
            const Line& line = lines_.at(field.key);
            left[field.key] = is_chosen(field) ? line.chosen : line.text.text();
        }
        spec_ = nullptr;
    }
}

void FormSheet::told(const Told& told) {
    if (!owns(told.form)) {
        return;
    }
    if (told.answer) {
        left_.erase(opened_);
        spec_ = nullptr;
        return;
    }
    refusal_ = told.answer.error();
    const auto meant = std::find_if(spec_->fields.begin(), spec_->fields.end(),
                                    [this](const app::FieldSpec& field) { return field.label == refusal_->field; });
    asked_ = meant == spec_->fields.end() ? "" : meant->key;
    focus_ = meant == spec_->fields.end() ? "" : stop_of(*meant);
    seen_focus_.clear();
}

}  // namespace tonebath::window
