// The bench's other part: a reading typed between presses.
#include "window/panels/bench_panel.hpp"

#include "app/answers.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "window/panels/bench_words.hpp"
#include "window/widgets/blocks.hpp"

#include <algorithm>

namespace tonebath::window {

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
