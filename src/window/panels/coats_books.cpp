#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "window/panels/coats_rows.hpp"
#include "window/widgets/bars.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

std::string open_words(const app::BottleTrend& trend) {
    return !trend.days_open ? "not said" : trend.emptied ? "empty" : fmt::format("{} days", fixed_text(*trend.days_open, 0));
}
std::string about(const std::optional<double>& seconds) { return seconds ? app::span_words(std::round(*seconds)) : "–"; }

void draw_evenings(Ui& ui, Rect place, const app::BottleTrend& trend, const UnitChoice& units, ScrollState& scroll) {
    Painter& paint = ui.paint();
    section_head(ui, place, place.y0 + ui.em(1.0F), trend.bottle + ", evening by evening", trend.kind);
    place.cut_top(ui.em(2.0F));
    for (const std::string& words : trend.words) {
        const float used = paint.text_wrapped(Type::strong, ui.colour(trend.slow ? Role::look : Role::ink), {place.x0, place.y0 + ui.em(1.0F)}, place.w(), words, Align::left, ui.em(1.5F));
        place.cut_top(used + ui.em(0.25F));
    }
    place.cut_top(ui.em(0.5F));
    const float line = ui.em(1.75F);
    const Rect content = begin_scroll(ui, "evenings", place, line * static_cast<float>(trend.evenings.size()) + ui.em(0.5F), scroll);
    const std::vector<Rect> columns = Rect{content.x0, 0.0F, content.x0 + place.w(), line}.columns(std::vector<float>{2.5F, 1.7F, 2.0F, 3.0F, 3.2F, 3.4F}, ui.em(0.75F));
    float y = content.y0 + ui.em(1.0F);
    for (const app::EveningRecord& one : trend.evenings) {
        const std::string air = one.room_c ? fmt::format("{}{}", text_of(Celsius::from_celsius(*one.room_c), units), one.humidity_percent ? fmt::format(", {} % RH", fixed_text(*one.humidity_percent, 0)) : "") : "air not read";
        const std::vector<std::string> cells{date_text(one.at), counted(static_cast<std::size_t>(one.stones), "stone", "stones"), about(one.pace_s) + " a stone",
                                             about(one.wait_s) + (one.loop_was_wait ? " apart, the loop" : " apart"), air,
                                             one.count.seen == 0 ? "untested" : fmt::format("{} of {} harmed", one.count.harmed, one.count.seen)};
        for (std::size_t i = 0; i < cells.size(); ++i) {
            paint.text(i == 0 ? Type::strong : Type::label, ui.colour(i == 0 ? Role::ink : Role::text), {columns[i].x0, y}, paint.ellipsis(i == 0 ? Type::strong : Type::label, columns[i].w(), cells[i]));
        }
        y += line;
    }
    end_scroll(ui);
}

// Each bottle's evenings: how it thickens, against the others.
PlotView pace_by_age(const std::vector<app::BottleTrend>& bottles) {
    PlotView view{.id = "pace", .label = "Seconds a stone against days open", .on = Role::ground};
    std::vector<double> days, paces;
    for (const app::BottleTrend& one : bottles) {
        PlotMarks marks{.name = one.bottle, .words = one.bottle};
        for (const app::EveningRecord& evening : one.evenings) {
            if (evening.bottle_days && evening.pace_s) {
                marks.points.push_back({*evening.bottle_days, *evening.pace_s});
                days.push_back(*evening.bottle_days);
                paces.push_back(*evening.pace_s);
            }
        }
        if (!marks.points.empty()) {
            std::ranges::reverse(marks.points);  // its name stands beside the first of them: where it is now
            if (marks.points.size() > 1) {
                view.lines.push_back({.name = one.bottle, .points = {marks.points.rbegin(), marks.points.rend()}, .thin = true});
            }
            view.marks.push_back(std::move(marks));
        }
    }
    if (!days.empty()) {
        view.x = fitted_axis({.unit = "days", .most_ticks = 5}, days);
        view.x.high += 0.14 * (view.x.high - view.x.low);  // room for the names
        view.y = fitted_axis({.name = "s a stone", .most_ticks = 4}, paces);
    }
    return view;
}

}  // namespace

void draw_bottles(Ui& ui, Rect place, const std::vector<app::BottleTrend>& bottles, const UnitChoice& units, TableState& state, ScrollState& scroll, PlotState& moved) {
    if (std::ranges::find(bottles, state.chosen, &app::BottleTrend::bottle) == bottles.end()) {
        const auto slow = std::ranges::find(bottles, true, &app::BottleTrend::slow);
        state.chosen = bottles.empty() ? "" : slow != bottles.end() ? slow->bottle : bottles.back().bottle;
    }
    const float rows = ui.em(2.5F) + ui.em(3.25F) * static_cast<float>(std::clamp<std::size_t>(bottles.size(), 1, 4));
    const Rect upper = place.cut_top(std::min(rows, place.h() * 0.5F));
    const TableView view{
        .id = "bottles",
        .label = "Bottles",
        .columns = {{.id = "bottle", .head = "Bottle", .width_em = 7.0F}, {.id = "kind", .head = "Lacquer"}, {.id = "open", .head = "Open for", .width_em = 7.0F},
                    {.id = "evenings", .head = "Evenings", .width_em = 6.5F}, {.id = "pace", .head = "A stone takes", .width_em = 8.5F}, {.id = "wait", .head = "Between coats", .width_em = 8.5F},
                    {.id = "seen", .head = "Harmed of seen", .width_em = 9.5F}, {.id = "state", .head = "", .width_em = 7.5F}},
        .row_count = static_cast<int>(bottles.size()),
        .empty = "No bottle is written down.",
        .row = [&bottles](int row) {
            const app::BottleTrend& one = bottles[static_cast<std::size_t>(row)];
            return TableRow{.id = one.bottle, .label = fmt::format("{}, open for {}{}", one.bottle, open_words(one), one.slow ? ", slower" : "")};
        },
        .cell = [&bottles](Ui& drawn, int row, const Column& column, const Rect& r, bool) {
            const app::BottleTrend& one = bottles[static_cast<std::size_t>(row)];
            Painter& paint = drawn.paint();
            if (column.id == "bottle") {
                number_tag(drawn, TagShape::bottle, one.bottle, r.x0, r.mid_y());
            } else if (column.id == "state") {
                mark_with_word(drawn, one.slow ? Mark::ask : Mark::done, {r.x0 + drawn.em(0.625F), r.mid_y()}, one.slow ? "slower" : one.evenings.empty() ? "not used" : "as usual");
            } else {
                paint.text_in(column.id == "kind" ? Type::label : Type::body, drawn.colour(Role::text), r,
                              column.id == "kind"       ? one.kind
                              : column.id == "open"     ? open_words(one)
                              : column.id == "evenings" ? std::to_string(one.evenings.size())
                              : column.id == "pace"     ? about(one.pace_s)
                              : column.id == "wait"     ? about(one.wait_s)
                              : one.count.seen == 0     ? std::string("untested")
                                                        : fmt::format("{} of {}", one.count.harmed, one.count.seen));
            }
        }};
    table(ui, upper, view, state);
    place.cut_top(ui.em(1.0F));
    if (const auto chosen = std::ranges::find(bottles, state.chosen, &app::BottleTrend::bottle); chosen != bottles.end()) {
        const PlotView view_by_age = pace_by_age(bottles);
        if (view_by_age.marks.size() > 1 && ui.width() != Width::narrow) {
            Rect right = place.cut_right(place.w() * 0.36F);
            place.cut_right(ui.em(2.0F));
            section_head(ui, right, right.y0 + ui.em(1.0F), "Seconds a stone", "by days since the bottle was opened");
            right.cut_top(ui.em(2.0F));
            plot(ui, right, view_by_age, moved);
        }
        draw_evenings(ui, place, *chosen, units, scroll);
    }
}

void draw_seals(Ui& ui, Rect place, const std::vector<app::SealShift>& seals, ScrollState& scroll) {
    Painter& paint = ui.paint();
    section_head(ui, place, place.y0 + ui.em(1.0F), "Lightness L*, after sealing less before", "each piece against itself; below it against pieces never sealed");
    place.cut_top(ui.em(2.0F));
    if (seals.empty()) {
        paint.text(Type::body, ui.colour(Role::text), {place.x0, place.y0 + ui.em(1.5F)}, "No seal is written down. Judge or measure a piece before and after it is sealed.");
        return;
    }
    double widest = 1.0;
    for (const app::SealShift& one : seals) {
        for (const auto& range : {one.l, one.unpaired_l}) {
            widest = range ? std::max({widest, std::abs(range->low), std::abs(range->high)}) : widest;
        }
    }
    const float words_w = place.w() - ui.em(1.0F);
    const auto height_of = [&](const app::SealShift& one) {
        float h = ui.em(4.75F);
        for (const std::string& words : one.words) {
            h += ui.em(1.4375F) * static_cast<float>(paint.wrap(Type::label, words_w, words).size());
        }
        return h + ui.em(1.0F);
    };
    float height = 0.0F;
    for (const app::SealShift& one : seals) {
        height += height_of(one);
    }
    const Rect content = begin_scroll(ui, "seals", place, height, scroll, true);
    float y = content.y0;
    for (const app::SealShift& one : seals) {
        divider(ui, place.x0, place.x1, y);
        paint.text(Type::leads, ui.colour(Role::ink), {content.x0, y + ui.em(1.875F)}, one.sealer);
        paint.text(Type::label, ui.colour(Role::quiet), {content.x0, y + ui.em(3.25F)}, fmt::format("{} sealed, {} before and after", one.sealed, one.pairs.size()));
        const Rect track{content.x0 + ui.em(16.0F), y + ui.em(0.875F), place.x1 - ui.em(11.0F), y + ui.em(2.375F)};
        if (one.l) {
            signed_bar(ui, track, {.value = one.l->mean, .widest = widest, .range = std::pair{one.l->low, one.l->high}});
            paint.text(Type::leads, ui.colour(Role::ink), {place.x1 - ui.em(1.0F), track.mid_y() + ui.em(0.4375F)}, fixed_text(one.l->mean, 1), Align::right);
        }
        if (one.unpaired_l) {
            const Rect below = track.moved(0.0F, ui.em(1.75F));
            signed_bar(ui, below, {.value = one.unpaired_l->mean, .widest = widest, .range = std::pair{one.unpaired_l->low, one.unpaired_l->high}, .hollow = true});
            paint.text(Type::label, ui.colour(Role::quiet), {place.x1 - ui.em(1.0F), below.mid_y() + ui.em(0.3125F)}, "not paired " + fixed_text(one.unpaired_l->mean, 1), Align::right);
        }
        float line = y + ui.em(5.0F);
        for (const std::string& words : one.words) {
            line += paint.text_wrapped(Type::label, ui.colour(Role::text), {content.x0, line}, words_w, words, Align::left, ui.em(1.4375F));
        }
        y += height_of(one);
    }
    end_scroll(ui);
}

}  // namespace tonebath::window
