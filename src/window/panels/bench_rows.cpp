// The bench's other parts: the check before the first dip, the row of lanes, and a reading typed between presses.
#include "window/panels/bench_panel.hpp"

#include "app/answers.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "window/panels/bench_words.hpp"
#include "window/widgets/blocks.hpp"

#include <algorithm>

namespace tonebath::window {

void BenchPage::draw_check(Ui& ui, Rect place, Wishes& wishes) {
    Rect head = place.cut_top(ui.em(4.0F));
    page_head(ui, head.x0, head.y0 + ui.em(1.75F), "Before bath " + view_.bath->bath.number);
    ui.paint().text(Type::label, ui.colour(Role::text), {head.x0, head.y0 + ui.em(3.25F)}, view_.check_ends_in);
    const auto first_open = std::find_if(view_.check.begin(), view_.check.end(), [](const app::BenchCheckItem& item) {
        return item.level == "stop" && item.answer.empty();
    });
    if (open_check_.empty() || std::none_of(view_.check.begin(), view_.check.end(), [this](const app::BenchCheckItem& item) {
            return item.key == open_check_ && item.answer.empty();
        })) {
        open_check_ = first_open == view_.check.end() ? "" : first_open->key;
    }
    for (const app::BenchCheckItem& item : view_.check) {
        ChecklistItem row{.id = item.key, .text = item.text, .answer = item.answer, .why = item.why, .consequence = "no dip can begin until then"};
        row.level = item.level == "stop" ? CheckLevel::stop : item.level == "must" ? CheckLevel::must : CheckLevel::advise;
        row.state = !item.answer.empty() ? CheckState::answered : item.key == open_check_ ? CheckState::current : CheckState::open;
        if (row.state == CheckState::current) {
            row.answers = {{.id = item.asks, .label = "Yes: " + item.asks, .key = Key::y}};
        }
        const float h = checklist_height(ui, row);
        if (place.h() < h) {
            break;
        }
        const auto used = checklist_item(ui, place.cut_top(h), row);
        if (!used) {
            continue;
        }
        if (used->answer.empty()) {
            open_check_ = used->item;
        } else {
            app::Form form{.action = "check.confirm"};
            form.typed["bath"] = view_.bath->bath.number;
            form.typed["item"] = used->item + ": " + used->answer;
            wishes.add(WishForm{std::move(form)});
        }
    }
    if (!refused_words_.empty()) {
        ui.paint().text_wrapped(Type::strong, ui.colour(Role::look), {place.x0, place.y0 + ui.em(1.5F)}, place.w(), refused_words_);
    }
}

// A lane each, in the order of the bench: number key, tag, seconds, state in words.
void BenchPage::draw_lanes(Ui& ui, const Rect& place) {
    const auto lanes = app::lanes_at(view_, studio_->now(), studio_->clock().boot());
    const auto count = static_cast<int>(lanes.size());
    const float gap = ui.em(0.5F);
    const float w = std::min(ui.em(9.0F), (place.w() - gap * static_cast<float>(count - 1)) / static_cast<float>(count));
    const KeyAct now = act();
    Painter& paint = ui.paint();
    paint.push_clip(place);
    for (int i = 0; i < count; ++i) {
        const Lane& lane = lanes[static_cast<std::size_t>(i)];
        const Rect r = Rect::at(place.x0 + static_cast<float>(i) * (w + gap), place.y0, w, std::min(place.h(), ui.em(3.5F)));
        const bool on_key = now.lane == lane.number;
        const Touch touch = ui.touch("lane " + std::to_string(lane.number), r, Focusable::no);
        paint.fill(r, ui.colour(on_key ? Role::raised : Role::slab), ui.em(0.375F));
        if (picked_ == lane.number) {
            paint.outline(r, ui.colour(Role::copper), ui.px(2), ui.em(0.375F));
        }
        const app::BenchLane& one = view_.lanes[static_cast<std::size_t>(i)];
        const std::string name = lane.number <= 9 ? std::to_string(lane.number) + "  " + one.tag : one.tag;
        std::string state = lane.state == LaneState::waiting ? "waits" : lane.state == LaneState::rinsing ? "rinse" : one.judged ? "judged" : "judge it";
        if (lane.state == LaneState::in_bath) {
            state = !lane.out_in_s ? "in the bath" : *lane.out_in_s >= 0.0 ? "out in " + clock_words(*lane.out_in_s) : "late " + clock_words(-*lane.out_in_s);
        } else if (lane.drop_in_s && lane.state == LaneState::waiting) {
            state = "in after " + clock_words(std::max(0.0, *lane.drop_in_s));
        }
        paint.push_surface(ui.colour(on_key ? Role::raised : Role::slab));
        paint.text(Type::strong, ui.colour(Role::ink), {r.x0 + ui.em(0.5F), r.y0 + ui.em(1.375F)}, paint.ellipsis(Type::strong, w - ui.em(0.75F), name));
        paint.text(Type::label, ui.colour(lane.state == LaneState::in_bath ? Role::copper : Role::text), {r.x0 + ui.em(0.5F), r.y0 + ui.em(2.75F)},
                   paint.ellipsis(Type::label, w - ui.em(0.75F), state));
        paint.pop_surface();
        ui.report("lane " + std::to_string(lane.number), {.kind = "lane", .label = one.tag + ", " + state, .rect = r, .bench = true});
        if (touch.clicked) {
            picked_ = lane.number;
        }
    }
    paint.pop_clip();
}

void BenchPage::draw_reading(Ui& ui, const Glance& glance, Wishes& wishes) {
    const Rect page = page_rect(ui);
    const Rect band{page.x0, page.y1 - ui.em(13.0F), page.x1, page.y1 - ui.em(6.0F)};
    const auto layer = ui.layer(false, band);
    Rect card = begin_card(ui, band, Role::raised);
    const bool open = refusal_ && !refusal_->answers.empty();
    FieldView view{.label = "Reading of bath " + view_.bath->bath.number, .unit = glance.temperature_unit()};
    if (open) {
        view.question = {.guess = refusal_->message, .asks = refusal_->remedy, .answers = {}};
        view.question.answers = question_answers(*refusal_);
    }
    card.cut_top(field_name_height(ui));
    Rect first = card.cut_top(field_height(ui));
    const Rect box = first.cut_left(ui.em(11.25F));
    first.cut_left(ui.em(1.125F));
    const Rect answers{first.x0, first.y1, first.x1, card.y1};
    const FieldResult typed = field(ui, "reading", box, view, reading_, &first, &answers);
    if (reading_focus_) {
        ui.focus("reading", true);
        reading_focus_ = false;
    }
    if (typed.changed) {
        refusal_.reset();
    }
    if (!typed.answer.empty() && asked_form_) {
        app::Form answered = *asked_form_;
        app::give_answer(answered, *refusal_, typed.answer);
        wishes.add(WishForm{std::move(answered)});
    } else if (typed.escaped) {
        reading_open_ = false;
        refusal_.reset();
    } else if (typed.entered && !trimmed(reading_.text()).empty()) {
        app::Form form{.action = "bath.read"};
        form.typed["bath"] = view_.bath->bath.number;
        form.typed["temp"] = reading_.text();
        wishes.add(WishForm{std::move(form)});
    }
    if (refusal_ && !open) {
        ui.paint().text_wrapped(Type::label, ui.colour(Role::look), {first.x0, first.y0 + ui.em(1.25F)}, first.w(), refusal_->text());
    }
    end_card(ui);
}

}  // namespace tonebath::window
