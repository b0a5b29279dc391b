#include "window/panels/stones_due.hpp"

#include "base/text.hpp"
#include "model/stones.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace tonebath::window {

namespace {

// Words beside a row of buttons that each make one form.
struct Touch {
    std::string_view words;
    Key key = Key::none;
};

template <class Made>
void touches(Ui& ui, Rect line, std::initializer_list<Touch> all, const Made& made) {
    for (const Touch& one : all) {
        const std::string words(one.words);
        const Rect place = line.cut_left(button_width(ui, words, one.key));
        line.cut_left(ui.em(0.5F));
        if (button_plain(ui, words, place, words, one.key)) {
            made(words);
        }
    }
}

}  // namespace

void StonesDue::take_up(const app::StonesView& view) {
    rows_.resize(view.due.size());
    std::iota(rows_.begin(), rows_.end(), std::size_t{0});
    choose(view);
}

void StonesDue::choose(const app::StonesView& view) {
    const auto still = [&](std::size_t one) { return view.due[one].stone == table_.chosen; };
    if (std::ranges::none_of(rows_, still)) {
        table_.chosen = rows_.empty() ? "" : view.due[rows_.front()].stone;
    }
}

void StonesDue::told(const Told& told, const app::StonesView& view) {
    refused_ = told.answer ? "" : told.answer.error().text();
    if (!told.answer || (told.form.action != "stone.look" && told.form.action != "stone.zone")) {
        return;
    }
    harmed_.clear();
    if (told.form.action == "stone.zone") {
        return;
    }
    const std::string stone(told.form.text("stone"));
    const auto seen = from_word<SeenAs>(told.form.text("seen"));
    const bool was_due = std::erase_if(rows_, [&](std::size_t one) { return view.due[one].stone == stone; }) > 0;
    if (was_due && seen && *seen != SeenAs::unharmed && *seen != SeenAs::not_seen && told.form.text("zone").empty()) {
        harmed_ = stone;
        harm_ = word_of(*seen);
    }
    choose(view);
}

void StonesDue::draw(Ui& ui, Rect page, const app::StonesView& view, const Glance& glance, Wishes& wishes) {
    const Rect answers = page.cut_bottom(ui.em(6.0F));
    if (!harmed_.empty() && !glance.read_only) {
        draw_zones(ui, page.cut_bottom(ui.em(6.0F)), wishes);
    }
    const auto due_at = [&](int row) -> const app::FollowUpDue& { return view.due[rows_[static_cast<std::size_t>(row)]]; };
    const TableView table_view{
        .id = "due",
        .label = "Looks that are due",
        .columns = {{.id = "stone", .head = "Stone", .width_em = 8.0F}, {.id = "piece", .head = "On", .width_em = 8.0F}, {.id = "kind", .head = "Kind"},
                    {.id = "days", .head = "After its first bath", .width_em = 11.0F}, {.id = "due", .head = "Due", .width_em = 9.0F}},
        .row_count = static_cast<int>(rows_.size()),
        .empty = "No look is due.",
        .row = [&](int row) {
            const app::FollowUpDue& one = due_at(row);
            return TableRow{.id = one.stone, .label = fmt::format("{} on {}, {} days", one.stone, one.piece, one.days)};
        },
        .cell = [&](Ui& drawn, int row, const Column& column, const Rect& place, bool) {
            const app::FollowUpDue& one = due_at(row);
            const bool strong = column.id == "stone";
            drawn.paint().text_in(strong ? Type::strong : Type::body, drawn.colour(strong ? Role::ink : Role::text), place,
                                  column.id == "stone"   ? one.stone
                                  : column.id == "piece" ? one.piece
                                  : column.id == "kind"  ? one.kind
                                  : column.id == "days"  ? std::to_string(one.days) + " days"
                                                         : date_text(one.due));
        }};
    table(ui, page, table_view, table_);
    if (!rows_.empty() && !glance.read_only) {
        draw_answers(ui, answers, wishes);
    }
}

void StonesDue::draw_answers(Ui& ui, Rect place, Wishes& wishes) {
    ui.paint().text(Type::strong, ui.colour(Role::ink), {place.x0, place.y0 + ui.em(1.5F)}, fmt::format("{}: what is it like now?", table_.chosen));
    if (!refused_.empty()) {
        ui.paint().text(Type::label, ui.colour(Role::look), {place.x0 + ui.em(16.0F), place.y0 + ui.em(1.5F)}, refused_);
    }
    place.cut_top(ui.em(2.25F));
    touches(ui, place.cut_top(ui.em(3.0F)),
            {{word_of(SeenAs::unharmed), Key::u}, {word_of(SeenAs::worn), Key::w}, {word_of(SeenAs::lifted), Key::f}, {word_of(SeenAs::clouded), Key::c},
             {word_of(SeenAs::dulled), Key::s}, {word_of(SeenAs::chipped), Key::p}, {word_of(SeenAs::gone), Key::g}, {word_of(SeenAs::not_seen), Key::n}},
            [&](const std::string& words) { wishes.add(WishForm{{.action = "stone.look", .typed = {{"stone", table_.chosen}, {"seen", words}}}}); });
}

// The look itself is written; this only adds to it, and may be left.
void StonesDue::draw_zones(Ui& ui, Rect place, Wishes& wishes) {
    ui.paint().text(Type::strong, ui.colour(Role::ink), {place.x0, place.y0 + ui.em(1.5F)}, fmt::format("{}, {}: where? Only if you see it.", harmed_, harm_));
    place.cut_top(ui.em(2.25F));
    touches(ui, place.cut_top(ui.em(3.0F)), {{word_of(Zone::point), Key::o}, {word_of(Zone::side), Key::i}, {word_of(Zone::edge), Key::e}, {word_of(Zone::face), Key::h}},
            [&](const std::string& words) { wishes.add(WishForm{{.action = "stone.zone", .typed = {{"stone", harmed_}, {"zone", words}}}}); });
}

}  // namespace tonebath::window
