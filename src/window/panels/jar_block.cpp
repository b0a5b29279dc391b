#include "window/panels/jar_block.hpp"

#include "base/text.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/tags.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr double kWeek_s = 7.0 * 86400.0;
constexpr double kFarthest_weeks = 52.0;  // past today; what lies beyond is told in words

double weeks(const app::LotAgeing& lot, const Stamp& at) {
    return seconds_between(*lot.opened, at) / kWeek_s;
}

PlotView plot_of(const app::LotAgeing& lot, const Stamp& now) {
    PlotView view{.id = "ageing", .label = "How fast the baths of " + lot.lot + " were, week by week"};
    const double today = std::max(1.0, weeks(lot, now));
    double end = 1.1 * today;
    if (lot.useless) {
        end = std::clamp(1.1 * weeks(lot, *lot.useless), end, today + kFarthest_weeks);
    }
    double top = 1.2;
    PlotMarks baths{.name = "baths"};
    PlotBand band{.name = "80 of 100"};
    for (const app::LotSpeed& speed : lot.speeds) {
        const double week = weeks(lot, speed.at);
        baths.points.push_back({week, speed.speed});
        band.low.push_back({week, speed.low});
        band.high.push_back({week, speed.high});
        top = std::max(top, speed.high);
    }
    view.x = {.low = 0.0, .high = end, .name = "weeks since it was opened", .most_ticks = 6};
    view.y = {.low = 0.0, .high = 1.1 * top, .name = "speed against the first baths of the log", .most_ticks = 4};
    view.marks.push_back(baths);
    view.bands.push_back(band);
    if (lot.fresh_speed && lot.half_weeks && lot.falls_from) {
        PlotLine fall{.name = "its fall", .expected = true, .words = fmt::format("half gone in {} weeks", fixed_text(*lot.half_weeks, 1))};
        const double begins = std::max(0.0, weeks(lot, *lot.falls_from));
        fall.points.push_back({0.0, *lot.fresh_speed});
        for (int i = 0; i <= 40; ++i) {
            const double week = begins + (end - begins) * i / 40.0;
            fall.points.push_back({week, *lot.fresh_speed * std::exp2(-(week - begins) / *lot.half_weeks)});
        }
        fall.words_at = fall.points[13];
        view.lines.push_back(fall);
        const double useless = *lot.fresh_speed / app::kUseless_times;
        view.limits.push_back({.y = useless, .figure = fixed_text(useless, 2), .words = "three times slower than fresh", .weight = PlotLimit::Weight::used});
        const double from = weeks(lot, *lot.useless_from);
        const double to = lot.useless_to ? weeks(lot, *lot.useless_to) : end;
        if (from < end) {
            view.spans.push_back({.x0 = std::max(0.0, from), .x1 = std::min(to, end), .y = useless, .words = {}});
        }
    }
    for (const app::LotHappening& happened : lot.happened) {
        view.marks.push_back({.name = happened.words, .points = {{std::clamp(weeks(lot, happened.at), 0.0, end), 1.02 * top}}, .filled = true, .words = happened.words});
    }
    view.now = PlotNow{.x = today, .words = "today", .shade_from_x = {}};
    return view;
}

}  // namespace

void jar_block(Ui& ui, Rect place, const app::LotAgeing& lot, const Stamp& now, PlotState& plot_state, ScrollState& scroll) {
    const Rect head = place.cut_top(ui.em(3.25F));
    const Rect tag = number_tag(ui, TagShape::lot, lot.lot, head.x0, head.y0 + ui.em(1.4F), {.height_em = 2.25F});
    const float x = tag.x1 + ui.em(1.375F);
    Painter& paint = ui.paint();
    paint.text(Type::strong, ui.colour(Role::ink), {x, head.y0 + ui.em(1.0F)}, paint.ellipsis(Type::strong, head.x1 - x - ui.em(14.0F), lot.kind));
    paint.text(Type::label, ui.colour(Role::text), {x, head.y0 + ui.em(2.375F)},
               (lot.opened ? "opened " + date_text(*lot.opened) : std::string("when it was opened is not written down")) +
                   (lot.place.empty() ? ", where it stands is not written down" : ", stands " + lot.place));
    if (lot.useless) {
        paint.text(Type::strong, ui.colour(Role::ink), {head.x1, head.y0 + ui.em(1.0F)},
                   (*lot.useless < now ? "useless since about " : "useless from about ") + date_text(*lot.useless), Align::right);
        paint.text(Type::label, ui.colour(Role::text), {head.x1, head.y0 + ui.em(2.375F)},
                   fmt::format("between {} and {}", date_text(*lot.useless_from), lot.useless_to ? date_text(*lot.useless_to) : std::string("never")), Align::right);
    }
    const Rect below = place.cut_bottom(ui.em(10.25F));
    place.cut_bottom(ui.em(0.75F));
    if (lot.opened && !lot.speeds.empty()) {
        const Rect card = begin_card(ui, place);
        plot(ui, card, plot_of(lot, now), plot_state);
        end_card(ui);
    } else {
        words_card(ui, place, lot.opened ? "No bath of it has a judged strip or piece yet: dip a strip, and its first point stands here."
                                         : "When it was opened is not written down: correct the lot, and its baths stand here week by week.");
    }
    Rect card = begin_card(ui, below);
    section_head(ui, card, card.y0 + ui.em(0.75F), "How it ages", "colour of lumps: dark yellow, then pale, then white");
    card.cut_top(ui.em(1.5F));
    const auto lines = paint.wrap(Type::body, card.w() - ui.em(1.0F), lot.words);
    const Rect inside = begin_scroll(ui, "ageing words", card, ui.em(1.5F) * static_cast<float>(lines.size()) + ui.em(1.0F), scroll);
    float y = inside.y0 + ui.em(1.0F);
    for (const std::string& line : lines) {
        paint.text(Type::body, ui.colour(Role::text), {inside.x0, y}, line);
        y += ui.em(1.5F);
    }
    end_scroll(ui);
    end_card(ui);
}

}  // namespace tonebath::window
