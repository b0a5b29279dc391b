#include "window/panels/stones_rows.hpp"

#include "base/text.hpp"
#include "window/widgets/bars.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/marks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <iterator>
#include <utility>

namespace tonebath::window {

namespace {

constexpr float kStone_em = 1.44F;  // from one stone to the next
constexpr long kMostDrawn = 110;    // of one group; the rest is told in words
constexpr std::ptrdiff_t kMostNumbers = 400;

struct Columns {
    float stones_x0, stones_x1, count_x0, bar_x0, bar_x1;
    int a_row;
};

Columns columns_of(const Ui& ui, const Rect& place) {
    Columns columns{};
    columns.stones_x0 = place.x0 + ui.em(9.5F);
    columns.bar_x1 = place.x1 - ui.em(11.0F);
    columns.bar_x0 = columns.bar_x1 - ui.em(ui.width() == Width::narrow ? 8.0F : 12.0F);
    columns.count_x0 = columns.bar_x0 - ui.em(9.5F);
    columns.stones_x1 = columns.count_x0 - ui.em(1.0F);
    columns.a_row = std::max(1, static_cast<int>((columns.stones_x1 - columns.stones_x0) / ui.em(kStone_em)));
    return columns;
}

long drawn_of(const app::StoneCount& count) {
    return std::min(count.seen + count.not_seen, kMostDrawn);
}

float group_height(const Ui& ui, const app::BottleGroup& group, const Columns& columns) {
    const long lines = (drawn_of(group.count) + columns.a_row - 1) / columns.a_row;
    return std::max(ui.em(4.0F), ui.em(1.75F + kStone_em * static_cast<float>(lines)));
}

void draw_stones(Ui& ui, const app::StoneCount& count, const Columns& columns, float y0) {
    for (long i = 0; i < drawn_of(count); ++i) {
        const StoneState state = i < count.harmed ? StoneState::harmed : i < count.seen ? StoneState::unharmed : StoneState::not_seen;
        const Vec2 at{columns.stones_x0 + ui.em(kStone_em) * (static_cast<float>(i % columns.a_row) + 0.5F),
                      y0 + ui.em(kStone_em) * (static_cast<float>(i / columns.a_row) + 0.5F)};
        draw_stone(ui, {.state = state}, at, ui.em(0.6F));
    }
}

void draw_group(Ui& ui, const Rect& row, const app::BottleGroup& group, const Columns& columns) {
    Painter& paint = ui.paint();
    const app::StoneCount& count = group.count;
    const float y = row.y0 + ui.em(1.75F);
    paint.text(Type::strong, ui.colour(Role::ink), {row.x0, y}, group.coats == 0 ? "No coats" : counted(static_cast<std::size_t>(group.coats), "coat", "coats"));
    paint.text_in(Type::label, ui.colour(Role::text), {row.x0, y + ui.em(0.5F), columns.stones_x0 - ui.em(0.5F), y + ui.em(2.0F)},
                  group.bottle.empty() ? "bare" : group.bottle);
    draw_stones(ui, count, columns, row.y0 + ui.em(0.75F));
    paint.text(Type::lead, ui.colour(Role::ink), {columns.count_x0, y}, fmt::format("{} of {}", count.harmed, count.seen));
    paint.text(Type::label, ui.colour(Role::text), {columns.count_x0 + ui.em(5.25F), y}, "harmed");
    paint.text(Type::label, ui.colour(Role::quiet), {columns.count_x0, y + ui.em(1.5F)},
               count.not_seen == 0 ? "all seen" : fmt::format("{} not seen since", count.not_seen));
    const auto bar = count.bar();
    if (count.seen > 0) {
        interval_bar(ui, columns.bar_x0, columns.bar_x1, y - ui.em(0.25F),
                     {.low = bar.lower, .high = bar.upper, .share = static_cast<double>(count.harmed) / static_cast<double>(count.seen),
                      .seen = static_cast<int>(count.seen)});
    }
    paint.text_in(Type::strong, ui.colour(Role::ink), {columns.bar_x1 + ui.em(0.5F), y - ui.em(1.0F), row.x1 - ui.em(1.0F), y + ui.em(0.5F)},
                  count.seen == 0  ? std::string("untested")
                  : count.seen < 3 ? std::string("too few to tell")
                                   : fmt::format("{:.0f} to {:.0f} in 100", 100.0 * bar.lower, 100.0 * bar.upper),
                  Align::right);
}

// "F-001, F-002 …": a long list is cut, the command has it whole.
std::string numbers_of(const std::vector<std::string>& numbers) {
    if (numbers.empty()) {
        return "none";
    }
    const std::vector<std::string> drawn(numbers.begin(), numbers.begin() + std::min<std::ptrdiff_t>(std::ssize(numbers), kMostNumbers));
    return joined(drawn, ", ") + (drawn.size() < numbers.size() ? fmt::format(" and {} more (tonebath stones ask-back)", numbers.size() - drawn.size()) : "");
}

// Share unharmed against days, a step at each look that found harm, to the last look of all.
PlotView unharmed_by_day(const app::BottleFinding& finding) {
    PlotView view{.id = "unharmed", .label = "Unharmed of 100 by days since the first bath", .on = Role::ground};
    double last = 1.0;
    for (const app::ComparedStones& one : finding.compared) {
        PlotLine line{.name = one.name, .points = {{0.0, 100.0}}, .thin = &one != &finding.compared.front()};
        for (const science::SurvivalStep& step : one.curve.steps) {
            line.points.push_back({step.time, line.points.back().y});
            line.points.push_back({step.time, 100.0 * step.survival});
            last = std::max(last, step.time);
        }
        view.lines.push_back(std::move(line));
    }
    // Below its line, left enough that a long name ends inside.
    for (PlotLine& line : view.lines) {
        const double x = 0.5 * last;
        const auto after = std::ranges::upper_bound(line.points, x, {}, &PlotPoint::x);
        line.words = line.name;
        line.words_at = PlotPoint{x, std::prev(after)->y - 9.0};
    }
    view.x = {.low = 0.0, .high = 1.02 * last, .unit = "days", .unit_on_all = false, .most_ticks = 5};
    view.y = {.low = 0.0, .high = 100.0, .name = "unharmed of 100", .most_ticks = 4};
    return view;
}

}  // namespace

bool draw_no_stones(Ui& ui, const Rect& page, bool read_only) {
    const EmptyView view{.id = "empty",
                         .scale = &ui.look().silver,
                         .fact = "No stones yet.",
                         .todo = "Write down the stones of a piece, and the day they were set.",
                         .button = "Add stones",
                         .key = Key::n,
                         .copper = !read_only};
    return empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), view);
}

void draw_trace(Ui& ui, Rect place, const app::StoneTrace& trace, ScrollState& scroll) {
    section_head(ui, place, place.y0 + ui.em(1.25F), "To ask back");
    place.cut_top(ui.em(2.25F));
    Painter& paint = ui.paint();
    const float w = place.w() - ui.em(1.0F);
    const std::array<std::pair<std::string, std::string>, 3> lists{std::pair{counted(trace.stones.size(), "stone", "stones"), numbers_of(trace.stones)},
                                                                   {counted(trace.pieces.size(), "piece", "pieces"), numbers_of(trace.pieces)},
                                                                   {counted(trace.orders.size(), "order", "orders"), numbers_of(trace.orders)}};
    float height = ui.em(1.0F);
    for (const auto& [name, numbers] : lists) {
        height += ui.em(2.75F) + ui.em(1.5F) * static_cast<float>(paint.wrap(Type::body, w, numbers).size());
    }
    const Rect content = begin_scroll(ui, "ask back", place, height, scroll);
    float y = content.y0 + ui.em(1.0F);
    for (const auto& [name, numbers] : lists) {
        paint.text(Type::strong, ui.colour(Role::ink), {content.x0, y}, name);
        y += ui.em(1.625F);
        y += paint.text_wrapped(Type::body, ui.colour(Role::text), {content.x0, y}, w, numbers, Align::left, ui.em(1.5F)) + ui.em(1.0F);
    }
    end_scroll(ui);
}

void draw_stone_cell(Ui& ui, const app::StoneCell& cell, const std::string& finish, std::string_view column, const Rect& place) {
    Painter& paint = ui.paint();
    if (column == "kind") {
        paint.text_in(Type::strong, ui.colour(Role::ink), place, cell.kind);
    } else if (column == "finish") {
        paint.text_in(Type::label, ui.colour(Role::text), place, finish);
    } else if (column == "band") {
        paint.text_in(Type::body, ui.colour(Role::text), place, app::band_words(cell.band));
    } else if (column == "seen") {
        paint.text_in(Type::strong, ui.colour(cell.count.seen == 0 ? Role::unknown : Role::ink), place,
                      cell.count.seen == 0 ? fmt::format("untested, {} out", cell.count.not_seen) : fmt::format("{} of {}", cell.count.harmed, cell.count.seen));
    } else if (column == "bar" && cell.count.seen > 0) {
        const auto bar = cell.count.bar();
        interval_bar(ui, place.x0 + ui.em(0.5F), place.x1 - ui.em(0.5F), place.mid_y(),
                     {.low = bar.lower, .high = bar.upper, .share = static_cast<double>(cell.count.harmed) / static_cast<double>(cell.count.seen),
                      .seen = static_cast<int>(cell.count.seen)});
    } else if (column == "words") {
        paint.text_in(Type::label, ui.colour(Role::text), place, cell.count.range_words());
    }
}

void draw_figures(Ui& ui, Rect place, const app::BottleFinding& finding, ScrollState& scroll, PlotState& moved) {
    Painter& paint = ui.paint();
    section_head(ui, place, place.y0 + ui.em(1.25F), "Figures");
    place.cut_top(ui.em(2.25F));
    const Rect below = place.cut_bottom(std::min(ui.em(15.0F), place.h() * 0.5F));
    const float w = place.w() - ui.em(1.0F);
    const std::vector<std::string> lines = finding.figures();
    float height = ui.em(1.0F);
    for (const std::string& words : lines) {
        height += ui.em(1.375F) * static_cast<float>(paint.wrap(Type::label, w, words).size()) + ui.em(0.375F);
    }
    const Rect content = begin_scroll(ui, "figures", place, height, scroll);
    float y = content.y0 + ui.em(1.0F);
    for (const std::string& words : lines) {
        y += paint.text_wrapped(Type::label, ui.colour(Role::text), {content.x0, y}, w, words, Align::left, ui.em(1.375F)) + ui.em(0.375F);
    }
    end_scroll(ui);
    plot(ui, below, unharmed_by_day(finding), moved);
}

void draw_stone_legend(Ui& ui, const Rect& line) {
    float x = line.x1;
    const auto one = [&](StoneState state, std::string_view words) {
        x -= ui.paint().text_width(Type::label, words);
        ui.paint().text_in(Type::label, ui.colour(Role::text), {x, line.y0, line.x1, line.y1}, words);
        x -= ui.em(1.0F);
        draw_stone(ui, {.state = state}, {x, line.mid_y()}, ui.em(0.6F));
        x -= ui.em(1.5F);
    };
    one(StoneState::not_seen, "not seen since");
    one(StoneState::harmed, "harmed");
    one(StoneState::unharmed, "seen, unharmed");
}

void draw_bottle_groups(Ui& ui, const Rect& place, const app::BottleStudy& study, ScrollState& scroll) {
    const Columns columns = columns_of(ui, place);
    float height = 0.0F;
    for (const app::BottleGroup& group : study.groups) {
        height += group_height(ui, group, columns);
    }
    const Rect content = begin_scroll(ui, "groups", place, height + ui.em(0.5F), scroll);
    float y = content.y0;
    for (const app::BottleGroup& group : study.groups) {
        const Rect row = Rect::at(place.x0, y, place.w(), group_height(ui, group, columns));
        divider(ui, row.x0, row.x1, row.y0);
        draw_group(ui, row, group, columns);
        y = row.y1;
    }
    divider(ui, place.x0, place.x1, y);
    end_scroll(ui);
}

void draw_damage(Ui& ui, const Rect& place, const std::vector<app::DamageZone>& damage) {
    long most = 1;
    for (const app::DamageZone& one : damage) {
        most = std::max({most, one.small, one.large});
    }
    Painter& paint = ui.paint();
    float y = place.y0 + ui.em(1.0F);
    const float bar_x0 = place.x0 + ui.em(9.0F);
    const float bar_w = std::min(ui.em(22.0F), place.w() - ui.em(20.0F));
    for (const app::DamageZone& one : damage) {
        const std::string_view zone = one.zone == Zone::unknown ? "not written down" : word_of(one.zone);
        paint.text(Type::strong, ui.colour(Role::ink), {place.x0, y + ui.em(0.75F)}, zone);
        for (const bool large : {false, true}) {
            const long count = large ? one.large : one.small;
            const float at = y + (large ? ui.em(1.25F) : 0.0F);
            share_bar(ui, {bar_x0, at, bar_x0 + bar_w, at + ui.em(0.625F)}, static_cast<float>(count) / static_cast<float>(most),
                      ui.colour(Role::text));
            paint.text(Type::label, ui.colour(Role::text), {bar_x0 + bar_w + ui.em(0.75F), at + ui.em(0.625F)},
                       fmt::format("{}, {}", count, large ? "over 8 mm" : "up to 8 mm"));
        }
        y += ui.em(3.5F);
    }
}

void draw_gate(Ui& ui, Rect place, const app::StoneGate& gate, ScrollState& scroll) {
    struct Line {
        Type type;
        Role role;
        std::string words;
        float gap_em;
    };
    std::vector<Line> lines;
    const auto say = [&lines](Type type, Role role, std::string words, float gap_em = 0.25F) {
        lines.push_back({type, role, std::move(words), gap_em});
    };
    for (const std::string& warning : gate.warnings) {
        say(Type::strong, Role::look, warning);
    }
    say(Type::leads, Role::ink, "Your own log", 0.5F);
    for (const std::string& words : gate.own_words) {
        say(Type::body, Role::text, words);
    }
    if (gate.own_words.empty()) {
        say(Type::body, Role::text, "Untested here: none of yours met it.");
    }
    say(Type::leads, Role::ink, "Published", 0.75F);
    for (auto at = gate.published.begin(); at != gate.published.end(); ++at) {
        const app::PublishedNote& note = *at;
        say(Type::strong, Role::ink, note.column + ": " + note.word + " (" + note.stone + ")");
        if (at + 1 != gate.published.end() && (at + 1)->stone == note.stone) {
            continue;  // what is noted of the stone stands once, under its last line
        }
        say(Type::label, Role::text, (note.note.empty() ? "" : note.note + "; ") + note.source + (note.source == note.trust ? "" : "; " + note.trust), 0.0F);
    }
    if (gate.published.empty()) {
        say(Type::body, Role::text, "No note on file for this kind.");
    }

    Painter& paint = ui.paint();
    // However long the list, this is in sight.
    const Rect last = place.cut_bottom(ui.em(2.25F));
    paint.text(Type::strong, ui.colour(Role::ink), {last.x0, last.y1 - ui.em(0.5F)},
               gate.conflict ? "The two do not agree: both stand here. Try one stone first." : "None of this is a yes. Try one stone first.");
    const auto line_height = [&ui](Type type) { return ui.em(type == Type::label ? 1.375F : type == Type::leads ? 1.875F : 1.5F); };
    const float width = place.w() - ui.em(1.0F);  // beside a scroll bar
    float height = ui.em(1.5F);
    for (const Line& line : lines) {
        height += line_height(line.type) * static_cast<float>(paint.wrap(line.type, width, line.words).size()) + ui.em(line.gap_em);
    }
    const Rect content = begin_scroll(ui, "known", place, height, scroll);
    float y = content.y0 + ui.em(1.0F);
    for (const Line& line : lines) {
        y += ui.em(line.gap_em);
        for (const std::string& part : paint.wrap(line.type, width, line.words)) {
            paint.text(line.type, ui.colour(line.role), {content.x0, y}, part);
            y += line_height(line.type);
        }
    }
    end_scroll(ui);
}

}  // namespace tonebath::window
