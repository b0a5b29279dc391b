#include "window/widgets/emergency.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

// The largest of the given types in which the words fit.
Type fitting(const Ui& ui, std::string_view words, float room, std::initializer_list<Type> types) {
    for (const Type type : types) {
        if (ui.paint().text_width(type, words) <= room) {
            return type;
        }
    }
    return *(types.end() - 1);
}

void counter_box(Ui& ui, const Rect& r, const EmergencyView& view) {
    Painter& paint = ui.paint();
    paint.outline(r, ui.colour(Role::ink), paint.px(2), ui.em(0.375F));
    const float x = r.x0 + ui.em(1.5F);
    paint.text(Type::lead, ui.colour(Role::ink), {x, r.y0 + ui.em(2.25F)}, view.counter_name);
    paint.text(fitting(ui, view.counter, r.w() - ui.em(2), {Type::next, Type::alarm_head}), ui.colour(Role::ink),
               {x, r.y0 + ui.em(8.625F)}, view.counter);
    paint.text(Type::lead, ui.colour(Role::ink), {x, r.y0 + ui.em(12.25F)}, view.counter_note);
}

void number_cards(Ui& ui, const Rect& r, const std::vector<EmergencyCard>& cards) {
    Painter& paint = ui.paint();
    const std::vector<Rect> places = r.columns(static_cast<int>(cards.size()), ui.em(1.25F));
    for (std::size_t i = 0; i < cards.size(); ++i) {
        const Rect card = places[i];
        paint.fill(card, ui.colour(Role::paper), ui.em(0.375F));
        paint.push_surface(ui.colour(Role::paper));
        const Rect inside = card.shrunk(ui.em(1.25F), 0);
        const Colour ink = ui.colour(Role::paper_ink);
        const std::string value = cards[i].value.empty() ? "not filled in" : cards[i].value;
        const Type type = fitting(ui, value, inside.w(), {Type::alarm_head, Type::alarm_text});
        if (paint.text_width(type, value) <= inside.w()) {
            paint.text(Type::lead, ink, {inside.x0, card.y0 + ui.em(1.75F)}, cards[i].name);
            paint.text(type, ink, {inside.x0, card.y0 + ui.em(4)}, value);
        } else {
            // Long addresses take two lines, very long ones smaller letters; nothing of them is cut.
            const bool two = paint.wrap(Type::leads, inside.w(), value).size() <= 2;
            paint.text(Type::label, ink, {inside.x0, card.y0 + ui.em(1.25F)}, cards[i].name);
            paint.text_wrapped(two ? Type::leads : Type::label, ink, {inside.x0, card.y0 + ui.em(two ? 2.75F : 2.25F)},
                               inside.w(), value, Align::left, ui.em(two ? 1.4375F : 1));
        }
        paint.pop_surface();
        ui.report("card " + cards[i].name, {.kind = "number",
                                            .label = cards[i].name,
                                            .value = value,
                                            .rect = card,
                                            .fg = ui.colour(Role::paper_ink),
                                            .bg = ui.colour(Role::paper),
                                            .interactive = false});
    }
}

std::string hint_row(Ui& ui, float x, float mid, const EmergencyView& view) {
    Painter& paint = ui.paint();
    std::string used;
    const float base = std::round(mid + ui.fonts()[Type::label].cap_px * 0.5F);
    for (const FootHint& hint : view.hints) {
        const float cap = key_cap_at(ui, hint.cap, x, mid, ui.colour(Role::ink), ui.colour(Role::ink));
        const float words_x = x + cap + ui.em(0.5F);
        const float end = words_x + paint.text(Type::label, ui.colour(Role::ink), {words_x, base}, hint.words);
        const Rect target{x - ui.em(0.375F), mid - ui.em(0.875F), end + ui.em(0.375F), mid + ui.em(0.875F)};
        const Touch touch = ui.touch(hint.id, target);
        if (touch.ring) {
            paint.outline(target, ui.colour(Role::copper), paint.px(2), ui.em(0.375F));
        }
        if (touch.activated || ui.pressed(hint.key.key, hint.key.mods)) {
            used = hint.id;
        }
        ui.report(hint.id, {.kind = "hint",
                            .label = hint.words,
                            .key = hint.cap,
                            .rect = target,
                            .fg = ui.colour(Role::ink),
                            .bg = paint.surface()});
        x = std::round(end + ui.em(1.75F));
    }
    return used;
}

}  // namespace

EmergencyResult emergency_page(Ui& ui, const Theme& contrast, const EmergencyView& view) {
    const Theme& before = ui.theme();
    ui.use_theme(contrast);
    const auto layer = ui.layer(true, ui.screen());
    const auto scope = ui.scope("emergency " + view.id);
    Painter& paint = ui.paint();
    const Rect screen = ui.screen();
    const Colour white = ui.colour(Role::ink);
    paint.fill(screen, ui.colour(Role::ground));
    paint.push_surface(ui.colour(Role::ground));
    paint.fill({screen.x0, screen.y0, screen.x1, screen.y0 + ui.em(0.625F)}, ui.colour(Role::stop));

    const float x0 = screen.x0 + ui.em(2);
    const float x1 = screen.x1 - ui.em(2);
    // Little height, or a dip under way that keeps its key: everything draws together, nothing is left out.
    const bool tight = ui.width() == Width::narrow || screen.h() < ui.em(46) || view.bench_key.has_value();
    const std::initializer_list<Type> large{Type::alarm, Type::word, Type::alarm_head};
    const std::initializer_list<Type> less{Type::word, Type::alarm_head};
    const float line_1 = screen.y0 + ui.em(tight ? 5.5F : 8.5F);
    const float mark_r = ui.em(tight ? 1.9375F : 2.875F);
    draw_mark(ui, Mark::warn, {x0 + mark_r * 1.05F, line_1 - mark_r * 0.74F}, mark_r);
    const float words_x = x0 + ui.em(tight ? 5.25F : 7.25F);
    const Type first = fitting(ui, view.first, x1 - words_x, tight ? less : large);
    paint.text(first, white, {words_x, line_1}, view.first);
    paint.text(Type::alarm_text, white, {words_x + ui.em(0.25F), line_1 + ui.em(tight ? 2.375F : 3.375F)},
               view.first_note);
    const float rule = line_1 + ui.em(tight ? 3.5F : 5);
    paint.fill({x0, rule, x1, rule + ui.em(0.25F)}, white);

    const bool boxed = !view.counter_name.empty() && !tight;
    const float second_right = boxed ? x1 - ui.em(17.5F) : x1;
    const Type second = fitting(ui, view.second, second_right - x0, tight ? less : large);
    float y = rule + ui.em(tight ? 4.25F : 8.375F);
    paint.text(second, white, {x0, y}, view.second);
    y += ui.em(tight ? 2.5F : 4.375F);
    paint.text(Type::alarm_text, white, {x0, y}, view.second_note);
    if (boxed) {
        counter_box(ui, Rect::at(x1 - ui.em(16.25F), screen.y0 + ui.em(15), ui.em(16.25F), ui.em(13.375F)), view);
    } else if (!view.counter_name.empty()) {
        y += ui.em(1.75F);
        paint.text(Type::lead, white, {x0, y}, view.counter_name + " " + view.counter + ", " + view.counter_note);
    }

    float bottom = screen.y1 - ui.em(0.5F);
    const float hints_y = std::round(bottom - ui.em(1));
    bottom -= ui.em(2.25F);
    EmergencyResult out;
    if (view.bench_key) {
        const Rect bar{x0, bottom - ui.em(5.25F), x1, bottom - ui.em(0.25F)};
        out.bench = bench_key(ui, bar, *view.bench_key);
        bottom = bar.y0 - ui.em(0.5F);
    }
    if (!view.cards.empty()) {
        const Rect cards{x0, bottom - ui.em(5.75F), x1, bottom - ui.em(1)};
        number_cards(ui, cards, view.cards);
        bottom = cards.y0 - ui.em(0.75F);
    }
    y += ui.em(tight ? 1.25F : 3.375F);
    const float head_w = ui.em(ui.width() == Width::narrow ? 11 : 13.625F);
    const float step =
        view.rows.empty() ? 0 : std::min(ui.em(5.625F), (bottom - y) / static_cast<float>(view.rows.size()));
    for (const EmergencyRow& row : view.rows) {
        paint.fill({x0, y, x1, y + paint.px(2)}, white);
        paint.text(Type::alarm_head, white, {x0, std::round(y + step * 0.489F)}, row.head);
        float line_y = std::round(y + step * 0.44F);
        for (const std::string& line : row.lines) {
            paint.text(Type::alarm_text, white, {x0 + head_w, line_y}, line);
            line_y += std::round(std::min(ui.em(2), step * 0.4F));
        }
        y = std::round(y + step);
    }
    if (!view.rows.empty()) {
        paint.fill({x0, y, x1, y + paint.px(2)}, white);
    }
    out.used = hint_row(ui, x0, hints_y, view);
    paint.text(Type::label, white, {x1, std::round(hints_y + ui.fonts()[Type::label].cap_px * 0.5F)}, view.foot_note,
               Align::right);
    ui.report("page", {.kind = "emergency",
                       .label = view.first,
                       .value = view.second,
                       .key = "F12",
                       .rect = screen,
                       .fg = white,
                       .bg = ui.colour(Role::ground),
                       .interactive = false});
    paint.pop_surface();
    ui.use_theme(before);
    return out;
}

}  // namespace tonebath::window
