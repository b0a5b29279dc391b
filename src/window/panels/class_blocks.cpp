// The Class sheet's plan and its right half: why it does not start, what may be done, limit, hand-out, after.
#include "base/text.hpp"
#include "window/panels/class_sheet.hpp"
#include "window/widgets/rail.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace tonebath::window {

namespace {

constexpr std::size_t kReasonsShown = 2;

KeyChord page_key(PageName page) {
    return static_cast<Key>(static_cast<int>(Key::d1) + static_cast<int>(page));
}

std::string reasons_words(std::size_t count) {
    constexpr std::array<std::string_view, 4> kWords{"no", "one", "two", "three"};
    return count < kWords.size() ? fmt::format("{} {}", kWords[count], count == 1 ? "reason" : "reasons")
                                 : fmt::format("{} reasons", count);
}

}  // namespace

void ClassSheet::draw_plan(Ui& ui, Rect place) {
    Painter& paint = ui.paint();
    divider(ui, place.x0, place.x1, place.y0 + ui.em(0.25F));
    place.cut_top(ui.em(0.75F));
    const Rect head = place.cut_top(ui.em(2.25F));
    const float head_w = paint.text(Type::leads, ui.colour(Role::ink), {head.x0, head.y0 + ui.em(1.375F)}, "Bath plan");
    const app::ClassPlan* plan = plan_.latest();
    if (plan == nullptr || !plan->why_none.empty()) {
        paint.text_wrapped(Type::body, ui.colour(Role::text), {place.x0, place.y0 + ui.em(1.25F)}, place.w(),
                           plan == nullptr ? "Reading what the log has taught …" : plan->why_none);
        return;
    }
    const Rect tag = number_tag(ui, TagShape::bath, "Bath " + plan->bath, head.x0 + head_w + ui.em(1.25F), head.y0 + ui.em(0.875F));
    paint.text(Type::label, ui.colour(Role::text), {head.x1, head.y0 + ui.em(1.25F)},
               paint.ellipsis(Type::label, head.x1 - tag.x1 - ui.em(1.0F), plan->bath_words), Align::right);
    draw_wire(ui, place.cut_top(ui.em(5.0F)), *plan);
    const std::string words = plan->words.empty() ? "" : joined(plan->words, " ");
    const auto lines = paint.wrap(Type::label, place.w(), words);
    Rect below = place.cut_bottom(ui.em(2.625F));
    for (std::size_t i = 0; i < std::min<std::size_t>(2, lines.size()); ++i) {
        const bool cut = i == 1 && lines.size() > 2;
        paint.text(Type::label, ui.colour(Role::text), {below.x0, below.y0 + ui.em(1.125F + 1.25F * static_cast<float>(i))},
                   cut ? paint.ellipsis(Type::label, below.w(), lines[i] + " …") : lines[i]);
    }
    if (place.h() < ui.em(4.0F) || plan->course.empty()) {
        return;
    }
    const auto hour_of = [&](const Stamp& at) {
        const CivilTime t = civil(at);
        return t.hour + t.minute / 60.0 + t.second / 3600.0 + (date_text(at) == date_text(plan->course.front().at) ? 0.0 : 24.0);
    };
    PlotView view{.id = "course", .label = "Temperature of the bath over the class"};
    PlotLine line{.name = "bath"};
    std::vector<double> temps;
    for (const app::ClassPoint& point : plan->course) {
        line.points.push_back({hour_of(point.at), point.temp_c});
        temps.push_back(point.temp_c);
    }
    view.x = {.kind = AxisKind::time_of_day, .low = line.points.front().x, .high = std::max(line.points.back().x, line.points.front().x + 1.0 / 60.0), .most_ticks = 4};
    view.y = fitted_axis({.unit = "°C", .most_ticks = 3}, temps);
    view.lines.push_back(std::move(line));
    view.can_move = false;
    plot(ui, place, view, curve_);
}

// Seats in the order of their drops, each with its seconds; a gap where the bath is heated again.
void ClassSheet::draw_wire(Ui& ui, const Rect& place, const app::ClassPlan& plan) const {
    Painter& paint = ui.paint();
    const auto reheats = std::count_if(plan.lanes.begin(), plan.lanes.end(), [](const app::ClassLane& lane) { return lane.reheat_before; });
    const float units = static_cast<float>(plan.lanes.size()) + 0.5F * static_cast<float>(reheats);
    const float step = std::min(ui.em(2.8F), place.w() / std::max(1.0F, units));
    const float radius = std::min(ui.em(1.0625F), step * 0.4F);
    const float wire_y = place.y0 + ui.em(1.375F);
    wire_across(ui, place.x0, place.x1, wire_y);
    float x = place.x0 + step * 0.5F;
    int skip = 0;
    for (const app::ClassLane& lane : plan.lanes) {
        x += lane.reheat_before ? step * 0.5F : 0.0F;
        seat_disc(ui, lane.briefed || view_.past ? SeatState::briefed : SeatState::not_briefed, std::to_string(lane.seat), {x, wire_y}, radius);
        const bool last = &lane == &plan.lanes.back();
        const std::string seconds = fmt::format("{:.0f}{}", lane.in_bath_s, last || (lane.in_bath_s < 99.5 && step >= ui.em(2.25F)) ? " s" : "");
        if (skip == 0) {
            paint.text(Type::strong, ui.colour(Role::ink), {x, wire_y + ui.em(2.375F)}, seconds, Align::centre);
            skip = static_cast<int>(paint.text_width(Type::strong, seconds) / step);
        } else {
            --skip;
        }
        if (lane.reheat_before) {
            paint.text(Type::label, ui.colour(Role::text), {x, wire_y + ui.em(3.625F)}, "reheat before", Align::centre);
        }
        ui.report(fmt::format("lane {}", lane.seat), {.kind = "lane", .label = fmt::format("Seat {}: {} at {}, {} s", lane.seat, lane.tone, time_text(lane.in_at), static_cast<int>(lane.in_bath_s + 0.5)),
                                                      .rect = {x - radius, wire_y - radius, x + radius, wire_y + radius},
                                                      .fg = ui.colour(Role::ink), .bg = paint.surface(), .interactive = false});
        x += step;
    }
}

RefusalView ClassSheet::refusal() const {
    RefusalView band{.id = "refused"};
    std::vector<std::string> unbriefed;
    for (const app::ClassReason& reason : view_.reasons) {
        if (reason.key.starts_with("seat ")) {
            unbriefed.push_back(std::to_string(*reason.seat));
        }
    }
    std::vector<RefusalReason> all;
    for (const app::ClassReason& reason : view_.reasons) {
        RefusalReason one{.id = reason.key, .mark = Mark::stop, .what = reason.what, .missing = reason.missing};
        if (reason.key.starts_with("seat ")) {
            if (std::to_string(*reason.seat) != unbriefed.front()) {
                continue;  // told with the first
            }
            one.seat = std::pair{SeatState::not_briefed, unbriefed.front()};
            if (unbriefed.size() > 1) {
                one.what = fmt::format("Seats {} have not confirmed the briefing", joined(unbriefed, ", "));
                one.missing = "brief each, or set it to watching";
            }
        } else if (reason.seat) {
            one.seat = std::pair{SeatState::not_briefed, std::to_string(*reason.seat)};
        } else if (reason.check) {
            one.key = page_key(PageName::safety);
            one.key_words = "Safety";
        }
        all.push_back(std::move(one));
    }
    band.head = "Start refused, " + reasons_words(all.size());
    band.rest = "Everything else may go on: hand-outs, seats, plan.";
    for (std::size_t i = kReasonsShown; i < all.size(); ++i) {
        band.rest = (i == kReasonsShown ? "Also: " : band.rest + "; ") + all[i].what;
    }
    all.resize(std::min(all.size(), kReasonsShown));
    band.reasons = std::move(all);
    return band;
}

void ClassSheet::draw_right(Ui& ui, Rect place, const Glance& glance, Wishes& wishes) {
    Painter& paint = ui.paint();
    if (!view_.reasons.empty()) {
        const RefusalView band = refusal();
        const std::string used = refusal_band(ui, place.cut_top(refusal_height(ui, band)), band);
        if (!used.empty()) {
            open_ = false;
            wishes.add(WishPage{.page = PageName::safety});
        }
    } else {
        const Rect card = begin_card(ui, place.cut_top(ui.em(6.0F)), Role::raised);
        draw_mark(ui, view_.past ? Mark::unknown : view_.ended ? Mark::done : view_.started ? Mark::now : Mark::open, {card.x0 + ui.em(0.75F), card.y0 + ui.em(1.0F)}, ui.em(0.8125F));
        paint.text(Type::leads, ui.colour(Role::ink), {card.x0 + ui.em(2.25F), card.y0 + ui.em(1.375F)},
                   view_.past || view_.ended || view_.started ? "The class: " + view_.state_words : "Nothing of the class holds it back");
        paint.text(Type::label, ui.colour(Role::text), {card.x0 + ui.em(2.25F), card.y0 + ui.em(3.0F)},
                   view_.past ? "Nothing was asked of it here; what was not seen is not on record." : "Your local rules and whoever answers for the room decide.");
        end_card(ui);
    }
    place.cut_top(ui.em(1.0F));
    if (!view_.ended && !view_.past) {
        draw_buttons(ui, place.cut_top(ui.em(3.25F)), glance, wishes);
        place.cut_top(ui.em(0.75F));
    }
    draw_blocks(ui, place);
}

void ClassSheet::draw_buttons(Ui& ui, Rect place, const Glance& glance, Wishes& wishes) {
    const app::ClassSeat* seat = chosen();
    if (glance.read_only || seat == nullptr) {
        return;
    }
    const float w = std::round((place.w() - ui.em(1.5F)) / 2.72F);
    const Rect first = place.cut_left(w);
    place.cut_left(ui.em(0.75F));
    const Rect second = place.cut_left(w);
    place.cut_left(ui.em(0.75F));
    const bool to_brief = seat->use == SeatUse::in_use && !seat->briefed;
    const bool to_let_in = seat->over && !seat->let_in;
    if (to_let_in) {
        if (button_do(ui, "let in", first, fmt::format("Who lets seat {} in", seat->number), Key::n)) {
            wish("class.seat", wishes);
        }
    } else if (to_brief) {
        if (button_do(ui, "brief", first, fmt::format("Brief seat {}", seat->number), Key::b)) {
            wish("class.brief", wishes);
        }
    } else if (seat->no_consent) {
        if (button_do(ui, "consent", first, fmt::format("Seat {}: consent", seat->number), Key::o)) {
            wish("class.consent", wishes);
        }
    } else if (view_.started) {
        if (button_do(ui, "bench", first, "To the bench", Key::space, {.enter_too = true})) {
            open_ = false;
            wishes.add(WishPage{.page = PageName::bench});
        }
    } else if (view_.reasons.empty()) {
        if (button_do(ui, "start", first, "Start class", Key::space, {.enter_too = true})) {
            wish("class.start", wishes);
        }
    }
    if (button_plain(ui, "watch", second, seat->use == SeatUse::in_use ? "Set to watching" : "Set to in use", Key::w)) {
        wish("class.seat", wishes);
    }
    if (view_.started) {
        if (button_quiet(ui, "end", place, "End class", Key::e)) {
            wish("class.end", wishes);
        }
    } else if (!view_.reasons.empty()) {
        static_cast<void>(button_quiet(ui, "start", place, "Start class", {}, {.refused = "see above", .reason_beside = false}));
    }
}

void ClassSheet::draw_blocks(Ui& ui, Rect place) const {
    Painter& paint = ui.paint();
    const Rect last = place.cut_bottom(ui.em(1.5F));
    const float name_w = ui.width() == Width::narrow ? ui.em(6.25F) : ui.em(7.5F);
    const auto block = [&](std::string_view name, const std::string& strong, const std::string& more, float right_w) {
        divider(ui, place.x0, place.x1, place.y0);
        const float y = place.y0 + ui.em(1.75F);
        paint.text(Type::leads, ui.colour(Role::ink), {place.x0, y}, name);
        const float x = place.x0 + name_w;
        paint.text(Type::strong, ui.colour(Role::ink), {x, y}, paint.ellipsis(Type::strong, place.x1 - right_w - x, strong));
        const float used = paint.text_wrapped(Type::label, ui.colour(Role::text), {x, y + ui.em(1.3125F)}, place.x1 - x, more);
        place.cut_top(ui.em(2.75F) + used);
        return y;
    };
    const float dot = ui.em(0.3125F);
    const float dots_w = view_.seats.size() <= 16 ? ui.em(1.0F) * static_cast<float>(view_.seats.size()) + ui.em(0.75F) : 0.0F;
    const float y = block("Limit", view_.limit_words, view_.over_words.empty() ? view_.limit_more : view_.over_words + ". " + view_.limit_more, dots_w);
    if (dots_w > 0.0F) {
        float x = place.x1 - dots_w + ui.em(0.5F);
        for (const app::ClassSeat& seat : view_.seats) {
            if (seat.number == view_.limit + 1) {
                paint.vline(x - ui.em(0.5625F), y - ui.em(0.9375F), y + ui.em(0.3125F), ui.colour(Role::ink), paint.fine(2.0F));
            }
            const Vec2 at{x, y - ui.em(0.3125F)};
            if (seat_state(seat) == SeatState::briefed) {
                paint.circle(at, dot, ui.colour(ui.theme().dark ? Role::paper : Role::text));
            } else {
                paint.ring(at, dot, ui.colour(seat_state(seat) == SeatState::not_briefed ? Role::look : Role::quiet), paint.fine(1.6F));
            }
            x += ui.em(1.0F);
        }
        if (static_cast<int>(view_.seats.size()) <= view_.limit) {
            paint.vline(x - ui.em(0.5F), y - ui.em(0.9375F), y + ui.em(0.3125F), ui.colour(Role::ink), paint.fine(2.0F));
        }
    }
    const float y2 = block("Hand-out", view_.hand_out, view_.hand_out_more, ui.em(5.0F));
    const Mark mark = view_.handed_out ? Mark::done : Mark::owed;
    draw_mark(ui, mark, {place.x1 - ui.em(0.75F), y2 - ui.em(0.3125F)}, ui.em(0.5625F));
    paint.text(Type::label, ui.colour(Role::quiet), {place.x1 - ui.em(1.75F), y2}, view_.handed_out ? "given" : "owed", Align::right);
    block("After", view_.after, view_.after_more, 0.0F);
    if (!view_.incidents.empty() && place.h() > ui.em(3.0F)) {
        block("Incidents", counted(view_.incidents.size(), "in the book", "in the book"), joined(view_.incidents, "; "), 0.0F);
    }
    divider(ui, place.x0, place.x1, std::min(place.y0, last.y1));
    if (place.y0 < last.y0) {
        paint.text(Type::label, ui.colour(Role::quiet), {last.x0, last.y1 - ui.em(0.25F)}, view_.keeps);
    }
}

}  // namespace tonebath::window
