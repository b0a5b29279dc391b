#include "app/studio.hpp"
#include "base/text.hpp"
#include "window/panels/safety_bottles.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::window {

namespace {

Mark mark_of(const app::NearMissRow& row) {
    switch (row.entry.kind) {
        case NearMissKind::stop: return row.waits() ? Mark::stop : Mark::stop_answered;
        case NearMissKind::incident: return Mark::warn;
        case NearMissKind::near_miss: break;
    }
    return Mark::look;
}

}  // namespace

void NearMissPart::read(app::Studio& studio) {
    rows_ = app::near_misses(studio);
    const bool there =
        std::ranges::any_of(rows_, [this](const app::NearMissRow& row) { return row.entry.number == table_.chosen; });
    if (!there) {
        table_.chosen = rows_.empty() ? "" : rows_.front().entry.number;
    }
}

std::size_t NearMissPart::waiting() const {
    return static_cast<std::size_t>(std::ranges::count_if(rows_, &app::NearMissRow::waits));
}

bool NearMissPart::fill(std::string_view action, std::map<std::string, std::string>& filled) const {
    if (table_.chosen.empty() || (action != "near-miss.comment" && action != "near-miss.withdraw")) {
        return false;
    }
    filled["entry"] = table_.chosen;
    return true;
}

void NearMissPart::draw(Ui& ui, Rect page, const Glance& glance, Wishes& wishes) {
    if (rows_.empty()) {
        const EmptyView empty{
            .id = "no near misses",
            .scale = &ui.look().silver,
            .fact = "Nothing is in the book.",
            .todo = "A near miss written down today is the accident that need not come. Stops enter themselves.",
            .button = glance.read_only ? "" : "Write down a near miss",
            .key = Key::n,
            .copper = true};
        if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), empty)) {
            wishes.add(WishSheet{.action = "near-miss.add", .filled = {}});
        }
        return;
    }
    Rect right = page.cut_right(ui.em(ui.width() == Width::narrow ? 24.0F : 29.0F));
    page.cut_right(ui.em(1.5F));
    const TableView view{
        .id = "book",
        .label = "The book of near misses",
        .columns = {{.id = "number", .head = "", .width_em = 7.0F},
                    {.id = "words", .head = "What happened"},
                    {.id = "state", .head = "", .width_em = 13.0F, .drop_when_narrow = true}},
        .row_count = static_cast<int>(rows_.size()),
        .empty = {},
        .row =
            [this](int row) {
                const app::NearMissRow& one = rows_[static_cast<std::size_t>(row)];
                return TableRow{
                    .id = one.entry.number,
                    .label = fmt::format("{}, {}: {}", one.entry.number, word_of(one.entry.kind), one.state())};
            },
        .cell =
            [this](Ui& drawn, int row, const Column& column, const Rect& cell, bool) {
                const app::NearMissRow& one = rows_[static_cast<std::size_t>(row)];
                Painter& paint = drawn.paint();
                const Rect upper{cell.x0, cell.y0 + drawn.em(0.25F), cell.x1, cell.mid_y() + drawn.em(0.125F)};
                const Rect lower{cell.x0, cell.mid_y(), cell.x1, cell.y1 - drawn.em(0.25F)};
                if (column.id == "number") {
                    draw_mark(drawn, mark_of(one), {cell.x0 + drawn.em(0.75F), cell.mid_y()}, drawn.em(0.6875F));
                    paint.text_in(Type::strong, drawn.colour(Role::ink),
                                  {cell.x0 + drawn.em(2.0F), upper.y0, upper.x1, upper.y1}, one.entry.number);
                    paint.text_in(Type::label, drawn.colour(Role::text),
                                  {cell.x0 + drawn.em(2.0F), lower.y0, lower.x1, lower.y1}, word_of(one.entry.kind));
                } else if (column.id == "words") {
                    paint.text_in(Type::body, drawn.colour(Role::ink), upper, split(one.entry.words, '\n').front());
                    paint.text_in(Type::label, drawn.colour(Role::quiet), lower,
                                  date_text(one.entry.at) + " " + time_text(one.entry.at) +
                                      (one.who.empty() ? "" : ", " + one.who) +
                                      (one.bath.empty() ? "" : ", bath " + one.bath));
                } else {
                    paint.text_in(one.waits() ? Type::strong : Type::label,
                                  drawn.colour(one.waits() ? Role::look : Role::text), cell, one.state(), Align::right);
                }
            }};
    table(ui, page, view, table_);
    const auto chosen =
        std::ranges::find_if(rows_, [this](const app::NearMissRow& row) { return row.entry.number == table_.chosen; });
    Rect card = begin_card(ui, right);
    if (chosen != rows_.end()) {
        if (!glance.read_only) {
            if (button_plain(ui, "write down", card.cut_bottom(ui.em(3.25F)), "Write down a near miss", Key::n,
                             {.bench = true})) {
                wishes.add(WishSheet{.action = "near-miss.add", .filled = {}});
            }
            card.cut_bottom(ui.em(0.75F));
            const Rect say = card.cut_bottom(ui.em(3.25F));
            card.cut_bottom(ui.em(0.75F));
            const bool used = chosen->waits()
                                  ? button_do(ui, "comment", say, "Your comment", Key::k, {.bench = true})
                                  : button_plain(ui, "comment", say, "Add a comment", Key::k, {.bench = true});
            if (used) {
                wishes.add(WishSheet{.action = "near-miss.comment", .filled = {{"entry", chosen->entry.number}}});
            }
        }
        Painter& paint = ui.paint();
        section_head(ui, card, card.y0 + ui.em(1.0F),
                     fmt::format("{}, {}", chosen->entry.number, word_of(chosen->entry.kind)), chosen->state());
        card.cut_top(ui.em(1.5F));
        const std::string said = chosen->entry.comment.empty()
                                     ? "No comment yet. It stays here as it is; what came of it is added."
                                     : "Comment: " + chosen->entry.comment;
        float height = ui.em(1.5F);
        for (const std::string_view words : {std::string_view(chosen->entry.words), std::string_view(said)}) {
            height +=
                ui.em(1.5F) * static_cast<float>(paint.wrap(Type::body, card.w() - ui.em(1.0F), words).size() + 1);
        }
        const Rect inside = begin_scroll(ui, "entry", card, height, scroll_);
        float y = inside.y0 + ui.em(1.25F);
        y += paint.text_wrapped(Type::body, ui.colour(Role::ink), {inside.x0, y}, card.w() - ui.em(1.0F),
                                chosen->entry.words, Align::left, ui.em(1.5F)) +
             ui.em(0.75F);
        paint.text_wrapped(Type::body, ui.colour(Role::text), {inside.x0, y}, card.w() - ui.em(1.0F), said, Align::left,
                           ui.em(1.5F));
        end_scroll(ui);
    }
    end_card(ui);
}

}  // namespace tonebath::window
