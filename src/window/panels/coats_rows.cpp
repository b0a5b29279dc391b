#include "window/panels/coats_rows.hpp"

#include "base/quantity_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr float kMostRow_em = 6.125F, kLeastRow_em = 5.5F, kRowGap_em = 0.875F;

Mark mark_of(app::RowPhase phase) {
    switch (phase) {
        case app::RowPhase::waiting: return Mark::wait;
        case app::RowPhase::under_way: return Mark::now;
        case app::RowPhase::ready:
        case app::RowPhase::done: break;
    }
    return Mark::done;
}

// Outlines of many coats stay inside the stone's own place.
float stone_radius(const Ui& ui, float spacing, int coats) {
    const float outer = spacing * 0.5F - ui.px(3.5F) - ui.px(4) * static_cast<float>(coats);
    return std::clamp(outer, ui.px(3), ui.em(0.75F));
}

std::optional<int> draw_stones(Ui& ui, const Rect& place, const app::CoatingState& state, const app::CoatRow& row, std::optional<int> chosen) {
    Painter& paint = ui.paint();
    const int count = state.coating.row;
    const float spacing = std::min(ui.em(3.125F), place.w() / static_cast<float>(count));
    const float y = place.y0 + ui.em(2.875F);
    const Rect tape{place.x0, y - ui.em(0.9375F), place.x0 + spacing * static_cast<float>(row.last - row.first + 1), y + ui.em(0.9375F)};
    paint.fill(tape, ui.colour(Role::wire).faded(0.28F));
    const float radius = stone_radius(ui, spacing, state.coating.coats);
    std::optional<int> clicked;
    for (int at = row.first; at <= row.last; ++at) {
        const app::CoatPlace& one = state.places[static_cast<std::size_t>(at - 1)];
        const float x = place.x0 + spacing * (static_cast<float>(at - row.first) + 0.5F);
        const bool turn = chosen == at;
        draw_stone(ui, {.state = StoneState::plain, .coats = one.done - one.passed, .being_coated = turn}, {x, y}, radius);
        if (one.passed > 0) {
            draw_mark(ui, Mark::over, {x, place.y0 + ui.em(0.75F)}, ui.em(0.375F));
        }
        if (spacing >= ui.em(1.5F)) {
            paint.text(Type::label, ui.colour(turn ? Role::ink : Role::quiet), {x, place.y1 - ui.em(0.625F)}, std::to_string(at), Align::centre);
        }
        if (spacing >= ui.em(3.0F)) {
            const Rect target{x - spacing * 0.5F, place.y0, x + spacing * 0.5F, place.y1};
            const std::string id = "stone " + std::to_string(at);
            if (ui.touch(id, target, Focusable::no).clicked) {
                clicked = at;
            }
            ui.report(id, {.kind = "stone", .label = fmt::format("Stone {}, {} on{}", at, one.done - one.passed, one.passed > 0 ? ", passed over" : ""), .rect = target, .bench = true});
        }
    }
    return clicked;
}

}  // namespace

std::optional<int> draw_coat_rows(Ui& ui, const Rect& place, const app::CoatingState& state, const std::vector<app::CoatRow>& rows, std::optional<int> chosen, ScrollState& scroll) {
    Painter& paint = ui.paint();
    const auto count = static_cast<float>(rows.size());
    const float gap = ui.em(kRowGap_em);
    const float row_h = std::clamp(std::floor((place.h() + gap) / count - gap), ui.em(kLeastRow_em), ui.em(kMostRow_em));
    const float step = row_h + gap;
    const float height = count * step - gap;
    const bool scrolls = height > place.h() + 1.0F;
    if (scrolls && chosen) {  // the stone whose turn it is stays in sight
        const float top = static_cast<float>(state.row_of(*chosen) - 1) * step;
        scroll.offset = std::clamp(scroll.offset, top + row_h - place.h(), top);
    }
    const Rect content = begin_scroll(ui, "rows", place, height, scroll);
    const float side = ui.em(17.375F);
    std::optional<int> clicked;
    for (const app::CoatRow& row : rows) {
        const float y = content.y0 + static_cast<float>(row.row - 1) * step;
        if (y > place.y1 || y + row_h < place.y0) {
            continue;
        }
        const Rect r = Rect::at(place.x0, y, place.w() - (scrolls ? ui.em(0.75F) : 0.0F), row_h);
        const Colour fill = ui.colour(row.current ? Role::raised : Role::slab);
        paint.fill(r, fill, ui.px(6));
        if (row.current) {
            paint.fill({r.x0, r.y0 + ui.em(0.5F), r.x0 + ui.px(4), r.y1 - ui.em(0.5F)}, ui.colour(Role::copper), ui.px(2));
        }
        paint.push_surface(fill);
        paint.text(Type::leads, ui.colour(Role::ink), {r.x0 + ui.em(1.5F), r.y0 + ui.em(2.75F)}, fmt::format("Row {}", row.row));
        paint.text(Type::label, ui.colour(Role::quiet), {r.x0 + ui.em(1.5F), r.y0 + ui.em(4.25F)}, fmt::format("{} to {}", row.first, row.last));
        const float words_x = r.x1 - side;
        if (const auto one = draw_stones(ui, {r.x0 + ui.em(6.5F), r.y0, words_x - ui.em(0.5F), r.y1}, state, row, chosen)) {
            clicked = one;
        }
        draw_mark(ui, mark_of(row.phase), {words_x + ui.em(0.5F), r.y0 + ui.em(2.375F)}, ui.em(0.5625F));
        const float text_x = words_x + ui.em(1.875F);
        paint.text(Type::leads, ui.colour(Role::ink), {text_x, r.y0 + ui.em(2.75F)}, row.head);
        paint.text(Type::label, ui.colour(Role::text), {text_x, r.y0 + ui.em(4.25F)}, paint.ellipsis(Type::label, r.x1 - text_x - ui.em(0.5F), row.more));
        paint.pop_surface();
    }
    end_scroll(ui);
    return clicked;
}

float finish_height(const Ui& ui) { return ui.em(5.0F); }

void draw_finish(Ui& ui, const Rect& place, const app::FinishLine& line) {
    Painter& paint = ui.paint();
    const float right_w = ui.em(14.0F);
    const Rect track{place.x0, place.y0, place.x1 - right_w - ui.em(1.0F), place.y1};
    const float head_y = place.y0 + ui.em(1.25F);
    const float head_w = paint.text(Type::leads, ui.colour(Role::ink), {place.x0, head_y}, "Finish");
    paint.text(Type::label, ui.colour(Role::text), {place.x0 + head_w + ui.em(1.25F), head_y}, "a wait runs from the start of a coat to the start of the stone's next");
    const float y = place.y0 + ui.em(2.75F);
    const auto x_of = [&track](double share) { return std::round(track.x0 + track.w() * static_cast<float>(share)); };
    const float now_x = x_of(line.now_share);
    const float half = ui.px(3);
    paint.fill({track.x0, y - half, track.x1, y + half}, ui.colour(Role::line), half);
    paint.fill({track.x0, y - half, now_x, y + half}, ui.colour(Role::copper), half);
    float free_from = -1e9F;
    for (std::size_t i = 0; i < line.ticks.size(); ++i) {
        const auto& tick = line.ticks[i];
        const float x = x_of(tick.share);
        paint.vline(x - ui.px(1), y - ui.em(0.5F), y + ui.em(0.5F), ui.colour(Role::edge), ui.px(2));
        const bool last = i + 1 == line.ticks.size();
        const float w = paint.text_width(Type::label, tick.words);
        const float left = i == 0 ? x : last ? x - w : x - w * 0.5F;
        const float end_left = x_of(1.0) - paint.text_width(Type::label, line.ticks.back().words);
        if (left > free_from && (last || left + w + ui.em(0.5F) < end_left)) {
            paint.text(Type::label, ui.colour(Role::ink), {left, y + ui.em(1.5F)}, tick.words);
            free_from = left + w + ui.em(0.5F);
        }
    }
    paint.circle({now_x, y}, ui.px(8), ui.colour(Role::ink));
    paint.text(Type::body, ui.colour(Role::text), {place.x1, place.y0 + ui.em(2.25F)}, "cured, into a bath from", Align::right);
    paint.text(Type::leads, ui.colour(Role::ink), {place.x1, place.y0 + ui.em(4.125F)}, line.bath, Align::right);
}

void draw_air_card(Ui& ui, const Rect& place, const AirCard& view, const UnitChoice& units, ScrollState& scroll) {
    Rect card = begin_card(ui, place, Role::slab, 1.25F);
    Painter& paint = ui.paint();
    section_head(ui, card, card.y0 + ui.em(0.75F), "Room air", view.note);
    card.cut_top(ui.em(1.5F));
    Rect tag = view.bottle.empty() ? Rect{} : card.cut_bottom(ui.em(2.5F));
    const std::string least = app::apart_text(science::kLeastMargin_c, units);
    if (view.air && view.room) {
        const double room_c = view.room->celsius();
        const float y = card.y0 + ui.em(2.5F);
        const std::string margin = app::apart_text(view.air->margin_c, units);
        const float w = paint.text(Type::figure, ui.colour(Role::ink), {card.x0, y}, margin);
        paint.text(Type::label, ui.colour(Role::text), {card.x0 + w + ui.em(1.0F), y - ui.em(1.25F)}, "above the");
        paint.text(Type::label, ui.colour(Role::text), {card.x0 + w + ui.em(1.0F), y - ui.em(0.125F)}, "dew point");
        card.cut_top(ui.em(3.75F));
        const Rect scale_place = card.cut_top(ui.em(ui.screen().h() < ui.em(46.0F) ? 7.0F : 10.0F));
        const double rule_c = room_c - science::kLeastMargin_c;
        const double low = std::min(view.air->dew_point_c, rule_c) - 2.0;
        const double high = room_c + 2.0;
        const Rect column{scale_place.x0 + ui.em(1.75F), scale_place.y0, scale_place.x0 + ui.em(2.75F), scale_place.y1};
        const auto y_of = [&](double c) { return std::round(column.y1 - column.h() * static_cast<float>((c - low) / (high - low))); };
        paint.fill(column, ui.colour(Role::well), ui.em(0.5F));
        paint.fill({column.x0, y_of(room_c), column.x1, y_of(view.air->dew_point_c)}, ui.colour(Role::done).faded(0.35F));
        paint.outline(column, ui.colour(Role::line), ui.px(1.2F), ui.em(0.5F));
        const float text_x = column.x1 + ui.em(1.5F);
        const auto line = [&](double c, std::string_view words, Role role, bool dashed) {
            const float at = y_of(c);
            const float x0 = column.x0 - ui.em(0.5F), x1 = column.x1 + ui.em(0.5F);
            if (dashed) {
                const std::array<Vec2, 2> points{Vec2{x0, at}, Vec2{x1, at}};
                paint.dashed(points, ui.colour(role), ui.px(2), ui.px(5), ui.px(4));
            } else {
                paint.fill({x0, at - ui.px(1), x1, at + ui.px(1)}, ui.colour(role));
            }
            return std::pair{at, std::string(words)};
        };
        const auto room_line = line(room_c, "room " + text_of(*view.room, units), Role::ink, false);
        const auto rule_line = line(rule_c, least + " below the room", Role::look, true);
        const auto dew_line = line(view.air->dew_point_c, "dew point " + text_of(Celsius::from_celsius(view.air->dew_point_c), units), Role::steel, false);
        paint.text(Type::label, ui.colour(Role::ink), {text_x, room_line.first + ui.em(0.3125F)}, room_line.second);
        // The two lower words never lie on one another.
        const bool rule_above = rule_line.first <= dew_line.first;
        const float apart = std::max(0.0F, ui.em(1.25F) - std::abs(rule_line.first - dew_line.first)) * 0.5F;
        paint.text(Type::label, ui.colour(Role::look), {text_x, rule_line.first + ui.em(0.3125F) + (rule_above ? -apart : apart)}, rule_line.second);
        paint.text(Type::label, ui.colour(Role::ink), {text_x, dew_line.first + ui.em(0.3125F) + (rule_above ? apart : -apart)}, dew_line.second);
        card.cut_top(ui.em(1.0F));
    }
    struct Line {
        Type type;
        Role role;
        std::string words;
        std::optional<Mark> mark;
        float gap_em;
    };
    std::vector<Line> lines;
    if (view.air && view.room) {
        const bool both = view.air->humidity_met && view.air->margin_met;
        const std::string head = both                       ? "Both rules met: 65 % RH, " + least
                                 : view.air->margin_met   ? "Above 65 % RH"
                                 : view.air->humidity_met ? "Nearer than " + least
                                                          : "Neither rule met: 65 % RH, " + least;
        lines.push_back({Type::strong, both ? Role::ink : Role::look, head, both ? Mark::done : Mark::ask, 0.5F});
        lines.push_back({Type::label, Role::text, "From sprayed lacquer; for a brush a guess.", {}, 0.0F});
    } else {
        lines.push_back({Type::body, Role::text, view.none, {}, 0.5F});
    }
    for (const auto& [strong, under] : view.heads) {
        lines.push_back({Type::strong, Role::ink, strong, Mark::done, 0.875F});
        lines.push_back({Type::label, Role::text, under, {}, 0.0F});
    }
    for (const std::string& words : view.words) {
        lines.push_back({Type::label, Role::text, words, {}, 0.5F});
    }
    const auto line_h = [&ui](Type type) { return ui.em(type == Type::label ? 1.3125F : 1.5F); };
    const float indent = ui.em(1.625F);
    float height = ui.em(0.5F);
    for (const Line& one : lines) {
        height += line_h(one.type) * static_cast<float>(paint.wrap(one.type, card.w() - (one.mark ? indent : 0.0F), one.words).size()) + ui.em(one.gap_em);
    }
    const Rect content = begin_scroll(ui, "air words", card, height, scroll);
    float y = content.y0 + ui.em(0.75F);
    for (const Line& one : lines) {
        y += ui.em(one.gap_em);
        const float x = content.x0 + (one.mark ? indent : 0.0F);
        if (one.mark) {
            draw_mark(ui, *one.mark, {content.x0 + ui.em(0.5F), y - ui.em(0.3125F)}, ui.em(0.5F));
        }
        for (const std::string& words : paint.wrap(one.type, card.w() - (one.mark ? indent : 0.0F), one.words)) {
            paint.text(one.type, ui.colour(one.role), {x, y}, words);
            y += line_h(one.type);
        }
    }
    end_scroll(ui);
    if (!view.bottle.empty()) {
        const Rect drawn = number_tag(ui, TagShape::bottle, view.bottle, tag.x0, tag.y1 - ui.em(1.0F));
        const float x = drawn.x1 + ui.em(0.75F);
        const bool one_line = paint.wrap(Type::label, tag.x1 - x, view.bottle_words).size() < 2;
        paint.text_wrapped(Type::label, ui.colour(Role::text), {x, drawn.mid_y() + ui.em(one_line ? 0.3125F : -0.3125F)}, tag.x1 - x, view.bottle_words, Align::left, ui.em(1.25F));
    }
    end_card(ui);
}

}  // namespace tonebath::window
