#include "window/panels/coats_planner.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/rules/rule.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr double kLookAgain_s = 20.0;  // an evening that begins "now" moves on with the clock

}  // namespace

void CoatsPlanner::fill_in(const app::CoatsBooks& books) {
    stale_ = true;
    if (filled_) {
        return;
    }
    const bool touched = std::ranges::any_of(fields_, &FieldState::dirty);
    if (touched || !books.last) {
        return;
    }
    filled_ = true;
    const Coating& last = *books.last;
    fields_[stones].set(std::to_string(last.stones));
    fields_[row].set(std::to_string(last.row));
    fields_[coats].set(std::to_string(last.coats));
    fields_[each].set(text_of(last.each));
    by_row_ = last.by_row;
    bottle_ = books.last_bottle;
}

void CoatsPlanner::look(app::Studio& studio, const app::CoatsBooks& books) {
    const Stamp now = studio.now();
    if (!stale_ && seconds_between(looked_at_, now) < kLookAgain_s) {
        return;
    }
    stale_ = false;
    looked_at_ = now;
    answer_.reset();
    refusal_.reset();
    if (trimmed(typed(stones)).empty()) {
        return;
    }
    auto found = app::coats_plan(studio, {.stones = typed(stones), .coats = typed(coats), .each = typed(each), .bottle = bottle_, .wait = typed(wait), .cure = typed(cure), .room = typed(room),
                                          .humidity = typed(humidity), .wet_um = typed(wet), .stone = typed(size), .by = typed(by)},
                                 books.evenings, kept_);
    if (found) {
        answer_ = std::move(found).value();
    } else {
        refusal_ = found.error();
    }
}

WishSheet CoatsPlanner::begin() const {
    WishSheet sheet{.action = "coating.begin"};
    const auto put = [&sheet](const char* key, const std::string& value) {
        if (!value.empty()) {
            sheet.filled[key] = value;
        }
    };
    put("stones", typed(stones));
    put("row", typed(row));
    put("coats", typed(coats));
    put("each", typed(each));
    put("bottle", bottle_);
    put("room-temp", typed(room));
    put("humidity", typed(humidity));
    put("by-row", by_row_ ? "yes" : "");
    if (answer_) {
        put("wait", text_of(Seconds::from_seconds(answer_->ask.wait_s)));
        put("cure", text_of(Seconds::from_seconds(answer_->ask.cure_s)));
    }
    return sheet;
}

void CoatsPlanner::draw(Ui& ui, Rect page, const Glance& glance, const app::CoatsBooks& books, Wishes& wishes) {
    const bool narrow = ui.width() == Width::narrow;
    const Rect right = page.cut_right(ui.em(narrow ? 17.0F : 20.75F));
    page.cut_right(ui.em(narrow ? 1.0F : 2.0F));
    draw_fields(ui, page.cut_top((field_name_height(ui) + field_height(ui) + ui.em(0.75F)) * 3.0F), glance, books);
    page.cut_top(ui.em(0.75F));
    Rect foot = page.cut_bottom(ui.em(4.25F));
    foot.cut_top(ui.em(0.75F));
    const Rect button = foot.cut_left(std::min(ui.em(18.0F), foot.w() * 0.5F));
    const ButtonStyle style{.refused = glance.read_only ? "another window writes" : refusal_ ? "the plan has a question open" : !answer_ ? "first type how many stones" : "", .refused_mark = Mark::owed, .type = Type::leads, .enter_too = false, .bench = true};
    const bool pressed = style.refused.empty() ? button_do(ui, "begin", button, "Begin coating", Key::space, style) : button_plain(ui, "begin", button, "Begin coating", Key::space, style);
    if (pressed) {
        wishes.add(begin());
    }
    if (style.refused.empty()) {
        foot.cut_left(ui.em(1.5F));
        toggle(ui, "by-row", foot.cut_right(std::min(ui.em(15.0F), foot.w() * 0.5F)), "One press for a row", by_row_);
        ui.paint().text_wrapped(Type::label, ui.colour(Role::text), {foot.x0, foot.y0 + ui.em(1.5F)}, foot.w() - ui.em(1.0F), "The list for lacquer comes first: ignition, air, solvent.");
    }
    if (refusal_) {
        draw_refusal(ui, page);
    } else if (answer_) {
        draw_answer(ui, page, glance);
    } else {
        words_card(ui, page, books.last ? "Type how many stones lie in the rows." : "No coating yet. Type how many stones lie in the rows, and the plan stands here; a bottle brings its own wait and cure (O).");
    }
    AirCard air{.note = answer_ && answer_->air ? "as typed" : "", .none = "Type the room's temperature and humidity, read indoors: its dew point and both rules against clouding stand here."};
    if (answer_ && answer_->air) {
        air.air = answer_->air;
        air.room = Celsius::from_celsius(answer_->air->margin_c + answer_->air->dew_point_c);
    }
    if (answer_) {
        // The rules stand drawn; what is left are the doubts and her own evenings.
        const std::size_t drawn = answer_->air ? 3 : 0;
        for (std::size_t i = std::min(drawn, answer_->air_words.size()); i < answer_->air_words.size(); ++i) {
            air.words.push_back(answer_->air_words[i]);
        }
        air.bottle = answer_->bottle;
        air.bottle_words = answer_->bottle_words;
    }
    draw_air_card(ui, right, air, glance.units, air_scroll_);
}

void CoatsPlanner::draw_fields(Ui& ui, Rect place, const Glance& glance, const app::CoatsBooks& books) {
    struct Spec {
        Field field;
        const char* id;
        const char* label;
        std::string unit, empty;
        FieldKind kind = FieldKind::number;
    };
    const std::array<std::vector<Spec>, 3> lines{
        std::vector<Spec>{{stones, "stones", "Stones", "", "how many"}, {row, "row", "In a row", "", "9"}, {coats, "coats", "Coats", "", "3"}, {each, "each", "Time for one", "", "25 s", FieldKind::text}},
        std::vector<Spec>{{wait, "wait", "Wait between coats", "", "the bottle's", FieldKind::text}, {cure, "cure", "Cure", "", "the bottle's", FieldKind::text},
                          {by, "by", "Wanted in the bath", "", "hour or class", FieldKind::text}},
        std::vector<Spec>{{room, "room", "Room", glance.temperature_unit(), "not read"}, {humidity, "humidity", "Humidity", "%", "not read"}, {wet, "wet", "Wet film of a coat", "µm", "not known"},
                          {size, "size", "Size of a stone", "mm", "not said"}}};
    const float gap = ui.em(0.75F);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        Rect line = place.cut_top(field_name_height(ui) + field_height(ui) + gap);
        line.cut_top(field_name_height(ui));
        line.cut_bottom(gap);
        const std::vector<Rect> cells = line.columns(4, gap);
        std::size_t cell = 0;
        if (i == 1) {  // the bottle stands before what its label says
            std::vector<Option> bottles{{.id = "", .label = "no bottle named"}};
            for (const app::BottleTrend& one : books.bottles) {
                if (!one.emptied) {
                    bottles.push_back({.id = one.bottle, .label = one.bottle});
                }
            }
            stale_ = choice_list(ui, "bottle", cells[cell++], "Bottle", bottles, bottle_, bottle_list_) || stale_;
        }
        for (const Spec& spec : lines[i]) {
            const FieldResult result = field(ui, spec.id, cells[cell++], {.label = spec.label, .unit = spec.unit, .empty = spec.empty, .kind = spec.kind}, fields_[spec.field]);
            if (result.changed) {
                stale_ = true;
                kept_ = false;
                filled_ = true;
            }
            if (result.entered || result.escaped) {
                ui.drop_focus();  // the page's keys work again
            }
        }
    }
}

void CoatsPlanner::draw_answer(Ui& ui, Rect place, const Glance& glance) {
    Painter& paint = ui.paint();
    Rect card = begin_card(ui, place);
    Rect head = card.cut_top(ui.em(2.75F));
    paint.text(Type::title, ui.colour(Role::ink), {head.x0, head.y0 + ui.em(1.25F)}, app::span_words(answer_->plan.coats_s) + " of coating");
    paint.text(Type::body, ui.colour(Role::text), {head.x0 + paint.text_width(Type::title, app::span_words(answer_->plan.coats_s) + " of coating") + ui.em(1.25F), head.y0 + ui.em(1.25F)},
               answer_->loop_words);
    draw_finish(ui, card.cut_top(finish_height(ui)), app::finish_line(answer_->ask, answer_->start, answer_->start));
    card.cut_top(ui.em(0.5F));
    std::vector<std::string> lines{fmt::format("Wait {} ({}); cure {} ({}); {}.", app::span_words(answer_->ask.wait_s), answer_->wait_words, app::span_words(answer_->ask.cure_s),
                                               answer_->cure_words, answer_->plan.idle_s > 0.0 ? "hands idle " + app::span_words(answer_->plan.idle_s) + " a round" : "hands never idle")};
    for (const std::string& words : {answer_->by_words, answer_->film_words, answer_->cover_words}) {
        if (!words.empty()) {
            lines.push_back(words);
        }
    }
    float height = ui.em(0.5F);
    for (const std::string& words : lines) {
        height += ui.em(1.4375F) * static_cast<float>(paint.wrap(Type::body, card.w() - ui.em(1.0F), words).size()) + ui.em(0.375F);
    }
    const Rect content = begin_scroll(ui, "plan words", card, height, words_scroll_);
    float y = content.y0 + ui.em(1.0F);
    for (const std::string& words : lines) {
        const bool late = words == answer_->by_words && seconds_between(answer_->start, answer_->latest_start.value_or(glance.now)) < 0.0;
        y += paint.text_wrapped(Type::body, ui.colour(late ? Role::look : Role::text), {content.x0, y}, card.w() - ui.em(1.0F), words, Align::left, ui.em(1.4375F)) + ui.em(0.375F);
    }
    end_scroll(ui);
    end_card(ui);
}

// What is asked, with its answers: a value goes into the field it is about.
void CoatsPlanner::draw_refusal(Ui& ui, Rect place) {
    Rect card = begin_card(ui, place);
    const float used = ui.paint().text_wrapped(Type::body, ui.colour(Role::look), {card.x0, card.y0 + ui.em(1.0F)}, card.w(), refusal_->text());
    card.cut_top(used + ui.em(1.0F));
    Rect line = card.cut_top(ui.em(2.75F));
    const std::vector<std::string> answers = refusal_->answers;
    for (const std::string& answer : answers) {
        const Rect button = line.cut_left(button_width(ui, answer) + ui.em(1.0F));
        line.cut_left(ui.em(0.75F));
        if (button_plain(ui, "answer " + answer, button, answer)) {
            stale_ = true;
            if (answer == rules::kKeepIt) {
                kept_ = true;
            } else {
                fields_[refusal_->field == "Room" ? room : cure].set(answer == rules::kBlank ? "" : answer);
            }
        }
    }
    end_card(ui);
}

}  // namespace tonebath::window
