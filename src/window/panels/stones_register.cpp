#include "window/panels/stones_register.hpp"

#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "window/panels/stones_rows.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace tonebath::window {

namespace {

std::string in_the_bath(const app::StoneRow& row) {
    double seconds = 0.0;
    for (const app::StoneExposure& one : row.met) {
        seconds += one.seconds;
    }
    return row.met.empty() ? "no bath yet" : text_of(Seconds::from_seconds(seconds));
}

std::string seen_words(const app::StoneRow& row) {
    return row.harmed_days     ? fmt::format("{} after {:.0f} days", word_of(row.harm), *row.harmed_days)
           : row.unharmed_days ? fmt::format("unharmed, {:.0f} days", *row.unharmed_days)
                               : "not seen since";
}

}  // namespace

void StonesRegister::choose(const app::StonesView& view, const std::string& number) {
    table_.chosen = number;
    table_.reveal = true;
    const auto is_it = [&](std::size_t row) { return row < view.rows.size() && view.rows[row].number == number; };
    if (std::ranges::none_of(found_, is_it)) {
        find_.set("");
    }
    stale();
}

void StonesRegister::catch_up(app::Studio& studio, const app::StonesView& view) {
    if (std::exchange(found_stale_, false)) {
        found_ = app::stones_with(view.find, find_.text());
        const auto still = [&](std::size_t row) { return view.rows[row].number == table_.chosen; };
        if (std::ranges::none_of(found_, still)) {
            table_.chosen = found_.empty() ? "" : view.rows[found_.front()].number;
        }
        trace_.reset();
        story_stale_ = true;
    }
    if (std::exchange(story_stale_, false)) {
        const auto row = std::ranges::find_if(found_, [&](std::size_t one) { return view.rows[one].number == table_.chosen; });
        story_ = row == found_.end() ? std::nullopt : std::optional(app::stone_story(studio, view.rows[*row]));
    }
    if (tracing_ && !trace_) {
        std::vector<std::string> numbers;
        for (const std::size_t row : found_) {
            numbers.push_back(view.rows[row].number);
        }
        trace_ = app::trace_of(view.rows, numbers);
    }
}

void StonesRegister::draw(Ui& ui, Rect place, const app::StonesView& view) {
    Rect right = place.cut_right(place.w() * 0.36F);
    place.cut_right(ui.em(2.0F));
    draw_list(ui, place, view);
    if (tracing_ && trace_) {
        draw_trace(ui, right, *trace_, trace_scroll_);
    } else {
        draw_story(ui, right);
    }
}

void StonesRegister::draw_list(Ui& ui, Rect place, const app::StonesView& view) {
    const FieldResult typed = field(ui, "find", place.cut_top(field_height(ui)),
                                    {.label = "Find", .name_shown = false, .empty = "find: a kind, bottle, lot, piece, harm", .kind = FieldKind::text, .plain_letters = true,
                                     .note = counted(found_.size(), "stone", "stones")},
                                    find_);
    found_stale_ = found_stale_ || typed.changed;
    place.cut_top(ui.em(0.5F));
    Rect foot = place.cut_bottom(ui.em(3.25F));
    place.cut_bottom(ui.em(0.5F));
    const std::string words = tracing_ ? "Back to the stone" : fmt::format("Ask these {} back", found_.size());
    if (!found_.empty() && button_plain(ui, "trace", foot.cut_left(button_width(ui, words, {})).shrunk(0, ui.em(0.25F)), words, {})) {
        tracing_ = !tracing_;
    }
    const TableView table_view{
        .id = "register",
        .label = "Stones in the register",
        .columns = {{.id = "number", .head = "Stone", .width_em = 5.5F}, {.id = "kind", .head = "Kind"}, {.id = "piece", .head = "On", .width_em = 5.0F, .drop_when_narrow = true},
                    {.id = "coats", .head = "Coats", .width_em = 5.5F, .drop_when_narrow = true}, {.id = "met", .head = "In the bath", .width_em = 6.0F},
                    {.id = "seen", .head = "Seen", .width_em = 11.0F}},
        .row_count = static_cast<int>(found_.size()),
        .empty = "No stone has these words.",
        .row = [&](int row) {
            const app::StoneRow& one = view.rows[found_[static_cast<std::size_t>(row)]];
            return TableRow{.id = one.number, .label = fmt::format("{}, {}, {}", one.number, one.kind, seen_words(one))};
        },
        .cell = [&](Ui& drawn, int row, const Column& column, const Rect& cell, bool) {
            const app::StoneRow& one = view.rows[found_[static_cast<std::size_t>(row)]];
            const bool strong = column.id == "number";
            drawn.paint().text_in(strong ? Type::strong : Type::body, drawn.colour(strong ? Role::ink : Role::text), cell,
                                  strong                  ? one.number
                                  : column.id == "kind"   ? one.kind
                                  : column.id == "piece"  ? one.piece
                                  : column.id == "coats"  ? app::coats_words(one.coats)
                                  : column.id == "met"    ? in_the_bath(one)
                                                          : seen_words(one));
        }};
    const std::string before = table_.chosen;
    table(ui, place, table_view, table_);
    if (table_.chosen != before) {
        story_stale_ = true;
        tracing_ = false;
        story_scroll_ = {};
    }
}

void StonesRegister::draw_story(Ui& ui, Rect place) {
    section_head(ui, place, place.y0 + ui.em(1.25F), table_.chosen);
    place.cut_top(ui.em(2.25F));
    if (!story_) {
        return;
    }
    Painter& paint = ui.paint();
    const auto indent = [&ui](const app::StoryLine& line) { return line.under ? ui.em(1.0F) : 0.0F; };
    const auto type = [](const app::StoryLine& line) { return line.under ? Type::label : Type::body; };
    const float w = place.w() - ui.em(1.0F), step = ui.em(1.5F), gap = ui.em(0.375F);
    float height = ui.em(1.0F);
    for (const app::StoryLine& line : story_->lines) {
        height += step * static_cast<float>(paint.wrap(type(line), w - indent(line), line.words).size()) + gap;
    }
    const Rect content = begin_scroll(ui, "story", place, height, story_scroll_);
    float y = content.y0 + ui.em(1.0F);
    for (const app::StoryLine& line : story_->lines) {
        y += paint.text_wrapped(type(line), ui.colour(Role::text), {content.x0 + indent(line), y}, w - indent(line), line.words, Align::left, step) + gap;
    }
    end_scroll(ui);
}

}  // namespace tonebath::window
