#include "window/panels/checks_block.hpp"

#include "app/answers.hpp"
#include "base/text.hpp"
#include "window/widgets/blocks.hpp"

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr std::string_view kAsBefore = "as before", kOther = "other", kPass = "pass over", kClose = "close";

CheckLevel level_of(tonebath::CheckLevel level) {
    switch (level) {
        case tonebath::CheckLevel::stop: return CheckLevel::stop;
        case tonebath::CheckLevel::must: return CheckLevel::must;
        case tonebath::CheckLevel::advise: break;
    }
    return CheckLevel::advise;
}

// One that can be taken in hand: what is asked and open, or the last line once the rest is answered.
bool is_open(const app::ChecksItem& item) {
    return item.can_close || (!item.completion && !item.answered && item.level != tonebath::CheckLevel::advise && !item.asks.empty());
}

std::string answer_of(const app::ChecksItem& item) {
    return item.signed_by.empty() ? item.answer : item.answer + ", " + item.signed_by;
}

}  // namespace

void ChecksBlock::choose(app::ChecksChoice choice) {
    choice_ = std::move(choice);
    open_.clear();
    entry_open_ = false;
    refusal_.reset();
    reveal_ = true;
}

void ChecksBlock::read(app::Studio& studio) {
    const std::string before = view_.key + view_.bath + view_.kind;
    view_ = app::checks_view(studio, choice_);
    if (before != view_.key + view_.bath + view_.kind) {
        choose(choice_);
        scroll_.offset = 0.0F;
    }
}

void ChecksBlock::told(const Told& told) {
    if (told.form.action != "check.confirm" && told.form.action != "check.pass") {
        return;
    }
    if (told.answer) {
        refusal_.reset();
        open_.clear();
        entry_open_ = false;
        entry_.set("");
        reveal_ = true;
    } else {
        refusal_ = told.answer.error();
        asked_form_ = told.form;
        // The keys belong to a question while it stands; what was typed waits for "answer again".
        entry_open_ = entry_open_ && refusal_->answers.empty();
    }
}

const app::ChecksItem* ChecksBlock::in_hand() const {
    const auto chosen = std::find_if(view_.items.begin(), view_.items.end(), [this](const app::ChecksItem& one) { return one.key == open_ && is_open(one); });
    const auto next = std::find_if(view_.items.begin(), view_.items.end(), [](const app::ChecksItem& one) { return one.current; });
    return chosen != view_.items.end() ? &*chosen : next != view_.items.end() ? &*next : nullptr;
}

void ChecksBlock::pick_by_arrows(Ui& ui) {
    const app::ChecksItem* hand = in_hand();
    if (hand == nullptr || ui.typing() || entry_open_) {
        return;
    }
    const auto at = std::find_if(view_.items.begin(), view_.items.end(), [&](const app::ChecksItem& one) { return &one == hand; });
    if (ui.pressed(Key::down)) {
        const auto next = std::find_if(at + 1, view_.items.end(), is_open);
        open_ = next == view_.items.end() ? open_ : next->key;
        reveal_ = true;
    } else if (ui.pressed(Key::up)) {
        const auto before = std::find_if(std::make_reverse_iterator(at), view_.items.rend(), is_open);
        open_ = before == view_.items.rend() ? open_ : before->key;
        reveal_ = true;
    }
}

void ChecksBlock::send(const app::ChecksItem& item, std::string_view response, Wishes& wishes) {
    wishes.add(WishForm{app::answer_form(view_, item, response)});
}

void ChecksBlock::draw(Ui& ui, Rect place, const Glance& glance, Wishes& wishes, Key first) {
    const auto scope = ui.scope("checks");
    if (view_.key.empty()) {
        page_head(ui, place.x0, place.y0 + ui.em(1.75F), "Nobody is written down", "a list carries the initials of who looked");
        return;
    }
    pick_by_arrows(ui);
    draw_head(ui, place);
    draw_foot(ui, place.cut_bottom(ui.em(4.25F)));
    if (refusal_) {
        draw_question(ui, place.cut_bottom(ui.em(refusal_->answers.empty() ? 3.0F : 6.5F)), wishes);
    }
    draw_items(ui, place, glance, wishes, first);
}

void ChecksBlock::draw_head(Ui& ui, Rect& place) const {
    Painter& paint = ui.paint();
    Rect head = place.cut_top(ui.em(3.75F));
    page_head(ui, head.x0, head.y0 + ui.em(1.75F), view_.title, view_.counts);
    if (view_.started) {
        paint.text(Type::label, ui.colour(Role::text), {head.x1, head.y0 + ui.em(1.75F)}, "started " + time_text(*view_.started), Align::right);
    }
    const std::string words = !view_.fault.empty()    ? view_.fault
                              : !view_.lapsed.empty() ? view_.lapsed
                                                      : view_.about + "; " + view_.mode;
    paint.text(Type::label, ui.colour(view_.fault.empty() && view_.lapsed.empty() ? Role::text : Role::look), {head.x0, head.y0 + ui.em(3.125F)},
               paint.ellipsis(Type::label, head.w(), words));
}

// How the list stands, and the most pressing of the others.
std::string ChecksBlock::foot_words() const {
    std::string words = view_.state;
    if (!view_.others.empty()) {
        words += " Also waiting: " + folded(view_.others.front().title) + ", " + view_.others.front().why;
    }
    return words;
}

void ChecksBlock::draw_foot(Ui& ui, const Rect& place) const {
    Painter& paint = ui.paint();
    const float y = place.y0 + ui.em(1.5F);
    float x = place.x1;
    for (const auto& [mark, word] : {std::pair{Mark::advise, "advise"}, std::pair{Mark::must, "must"}, std::pair{Mark::stop, "stop"}}) {
        x -= paint.text_width(Type::label, word);
        paint.text(Type::label, ui.colour(Role::text), {x, y}, word);
        x -= ui.em(1.0F);
        draw_mark(ui, mark, {x, y - ui.em(0.3125F)}, ui.em(0.5625F));
        x -= ui.em(1.5F);
    }
    const std::string signs = view_.signed_by.empty() ? "nobody is at the bench" : "Signed by " + view_.signed_by + "; " + view_.clearance;
    paint.text(Type::label, ui.colour(Role::text), {place.x0, y}, paint.ellipsis(Type::label, x - place.x0, signs));
    paint.text(Type::label, ui.colour(Role::quiet), {place.x0, y + ui.em(1.375F)}, paint.ellipsis(Type::label, place.w(), foot_words()));
    paint.text(Type::label, ui.colour(Role::ink), {place.x0, y + ui.em(2.625F)}, paint.ellipsis(Type::label, place.w(), view_.ends_in));
}

void ChecksBlock::draw_question(Ui& ui, Rect place, Wishes& wishes) {
    const float h = ui.paint().text_wrapped(Type::strong, ui.colour(Role::look), {place.x0, place.y0 + ui.em(1.25F)}, place.w(), refusal_->text());
    float x = place.x0;
    for (const QuestionAnswer& answer : question_answers(*refusal_)) {
        const Rect button = Rect::at(x, place.y0 + h + ui.em(0.25F), button_width(ui, answer.label, answer.key) + ui.em(0.5F), ui.em(3.0F));
        if (button_plain(ui, "answer " + answer.id, button, answer.label, answer.key, {.bench = true}) && asked_form_) {
            app::Form answered = *asked_form_;
            app::give_answer(answered, *refusal_, answer.id);
            refusal_.reset();
            wishes.add(WishForm{std::move(answered)});
            return;
        }
        x = button.x1 + ui.em(0.75F);
    }
    if (!refusal_->answers.empty() &&
        button_plain(ui, "again", Rect::at(x, place.y0 + h + ui.em(0.25F), button_width(ui, "Answer again", Key::t) + ui.em(0.5F), ui.em(3.0F)),
                     "Answer again", Key::t, {.bench = true})) {
        refusal_.reset();
        entry_open_ = entry_focus_ = true;
    }
}

void ChecksBlock::draw_entry(Ui& ui, const Rect& place, const app::ChecksItem& item, Wishes& wishes) {
    Rect box = place;
    box.x1 = std::min(box.x1, box.x0 + ui.em(34.0F));
    const FieldView entry{.label = item.asks, .name_shown = false, .unit = item.unit == "C" ? "°C" : item.unit, .empty = item.asks, .kind = FieldKind::text};
    const FieldResult typed = field(ui, "entry", box, entry, entry_);
    if (std::exchange(entry_focus_, false)) {
        ui.focus("entry", true);
    }
    if (typed.changed) {
        refusal_.reset();
    }
    if (typed.escaped) {
        entry_open_ = false;
        refusal_.reset();
    } else if (typed.entered && !trimmed(entry_.text()).empty()) {
        send(item, trimmed(entry_.text()), wishes);
    }
    const float room = place.x1 - box.x1 - ui.em(1.0F);
    if (ui.paint().text_width(Type::label, item.asks) <= room) {
        ui.paint().text(Type::label, ui.colour(Role::text), {place.x1, place.y0 + ui.em(1.75F)}, item.asks, Align::right);
    }
}

void ChecksBlock::draw_items(Ui& ui, const Rect& place, const Glance& glance, Wishes& wishes, Key first) {
    const app::ChecksItem* hand = in_hand();
    const bool asked = refusal_ && !refusal_->answers.empty();
    std::vector<ChecklistItem> rows;
    float height = 0.0F, hand_top = 0.0F, hand_height = 0.0F;
    const float width = place.w() - ui.em(0.75F);
    for (const app::ChecksItem& one : view_.items) {
        ChecklistItem row{.id = one.key, .level = level_of(one.level), .text = one.text, .answer = answer_of(one), .why = one.why};
        row.state = one.mark == app::ItemMark::passed_over ? CheckState::passed_over : one.answered ? CheckState::answered : CheckState::open;
        if (!one.answered && one.answer.empty()) {
            row.answer = one.completion ? view_.closing : one.level == tonebath::CheckLevel::advise ? "advice" : "not answered";
        }
        if (&one == hand) {
            row.state = CheckState::current;
            row.sources = one.sources.empty() ? "" : "From: " + one.sources + (one.local ? " Your local rule decides." : "");
            row.consequence = one.consequence;
            row.entry = entry_open_;
            if (!glance.read_only && !asked && one.completion) {
                row.answers = {{.id = std::string(kClose), .label = "Close the list, " + time_text(glance.now), .key = first}};
            } else if (!glance.read_only && !asked) {
                // What was stated last time may be stated again with one key; a figure is always new.
                if (one.offered != one.asks && one.unit.empty()) {
                    row.answers.push_back({.id = std::string(kAsBefore), .label = one.offered, .key = first});
                    row.answers.push_back({.id = std::string(kOther), .label = "Other", .key = Key::t});
                } else {
                    row.answers.push_back({.id = std::string(kOther), .label = "Say: " + one.asks, .key = first});
                }
                if (one.can_pass) {
                    row.answers.push_back({.id = std::string(kPass), .label = "Pass over", .key = Key::o});
                }
            }
        }
        const float h = checklist_height(ui, row, width);
        if (&one == hand) {
            hand_top = height;
            hand_height = h;
        }
        height += h;
        rows.push_back(std::move(row));
    }
    if (std::exchange(reveal_, false) && hand != nullptr) {
        scroll_.offset = std::clamp(scroll_.offset, std::max(0.0F, hand_top + hand_height + ui.em(3.5F) - place.h()), std::max(0.0F, hand_top - ui.em(3.5F)));
    }
    Rect content = begin_scroll(ui, "items", place, height, scroll_);
    content.x1 = content.x0 + width;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const app::ChecksItem& one = view_.items[i];
        Rect entry;
        const auto used = checklist_item(ui, content.cut_top(checklist_height(ui, rows[i], width)), rows[i], &entry);
        if (rows[i].state == CheckState::current && entry_open_) {
            draw_entry(ui, entry, one, wishes);
        }
        if (!used) {
            continue;
        }
        if (used->answer.empty()) {
            open_ = is_open(one) ? one.key : open_;
            entry_open_ = entry_open_ && !is_open(one);
        } else if (used->answer == kOther) {
            entry_open_ = entry_focus_ = true;
            entry_.set("");
        } else if (used->answer == kPass) {
            wishes.add(WishSheet{.action = "check.pass", .filled = app::pass_form(view_, one, view_.signed_by, "").typed});
        } else {
            send(one, used->answer == kClose ? time_text(glance.now) : one.offered, wishes);
        }
    }
    end_scroll(ui);
}

}  // namespace tonebath::window
