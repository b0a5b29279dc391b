#include "window/panels/bath_picture.hpp"

#include "base/quantity_text.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/rail.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

PlotView plot_of(const app::BathPortrait& portrait) {
    PlotView view{.id = "temperature", .label = "Temperature of bath " + portrait.history.bath.number + " against the time of day"};
    PlotLine measured{.name = "temperature"};
    PlotLine expected{.name = "expected", .expected = true, .words = "expected, if left alone"};
    PlotBand band{.name = "expected"};
    PlotMarks readings{.name = "readings"};
    double low = 1e9;
    double high = -1e9;
    const auto reach = [&](double temp_c) {
        low = std::min(low, temp_c);
        high = std::max(high, temp_c);
    };
    for (const app::TempPoint& point : portrait.measured) {
        measured.points.push_back({point.hour, point.temp_c});
        reach(point.temp_c);
    }
    for (const app::TempPoint& point : portrait.expected) {
        expected.points.push_back({point.hour, point.temp_c});
        band.low.push_back({point.hour, point.low_c});
        band.high.push_back({point.hour, point.high_c});
        reach(point.low_c);
        reach(point.high_c);
    }
    for (const app::TempPoint& point : portrait.readings) {
        readings.points.push_back({point.hour, point.temp_c});
        reach(point.temp_c);
    }
    if (!expected.points.empty()) {
        const std::size_t at = expected.points.size() * 5 / 8;
        expected.words_at = PlotPoint{expected.points[at].x, band.high[at].y};
    }
    const double from = measured.points.front().x;
    const double to = expected.points.empty() ? std::max(measured.points.back().x, from + 0.1) : expected.points.back().x;
    view.x = {.kind = AxisKind::time_of_day, .low = from, .high = to, .most_ticks = 6};
    view.y = fitted_axis({.unit = "°C", .most_ticks = 4}, {std::floor(low / 5.0) * 5.0, std::ceil(high / 5.0) * 5.0});
    view.bands = {band};
    view.lines = {measured, expected};
    view.marks = {readings};
    if (portrait.in_use && portrait.temp_now_c) {
        view.now = PlotNow{.x = portrait.now_hour, .words = "now " + fixed_text(*portrait.temp_now_c, 1) + " °C"};
    }
    return view;
}

// Strips hung from the wire at their minute, with the film as far as it was judged.
void hang_dips(Ui& ui, const Rect& wire_place, const Rect& plot_place, const PlotView& view, const app::BathPortrait& portrait, const Scales& scales) {
    wire_across(ui, wire_place.x0, wire_place.x1, wire_place.y0);
    float last_x = -1e9F;
    std::string last_group;
    float group_from = 0.0F;
    const float w = std::round(ui.em(0.6875F));
    const float h = ui.em(4.25F);
    const auto name_group = [&](float to) {
        if (!last_group.empty()) {
            ui.paint().text(Type::small, ui.colour(Role::text), {(group_from + to) * 0.5F, wire_place.y0 + ui.em(6.0F)}, last_group, Align::centre);
        }
    };
    for (const app::HangingDip& dip : portrait.dips) {
        const auto share = axis_share(view.x, dip.hour);
        if (!share) {
            continue;
        }
        float x = plot_place.x0 + plot_place.w() * static_cast<float>(*share);
        x = std::max(x, last_x + w + ui.em(0.3F));
        if (x > wire_place.x1 - w) {
            break;
        }
        if (dip.group != last_group) {
            name_group(last_x + w * 0.5F);
            last_group = dip.group;
            group_from = x - w * 0.5F;
        }
        wire_down(ui, x, wire_place.y0, wire_place.y0 + ui.em(0.75F), 1.5F);
        LaneStripView strip{.scale = scales.drawn(dip.scale), .film_known = dip.tone.has_value()};
        if (strip.scale == nullptr) {
            strip.scale = &ui.look().silver;
        }
        if (dip.tone) {
            strip.film = (static_cast<float>(dip.tone->tone) + static_cast<float>(dip.tone->share)) /
                         static_cast<float>(strip.scale->tones.size());
        }
        lane_strip(ui, Rect::at(x - w * 0.5F, wire_place.y0 + ui.em(0.75F), w, h), strip);
        last_x = x;
    }
    name_group(last_x + w * 0.5F);
}

}  // namespace

void bath_picture(Ui& ui, const Rect& r, const app::BathPortrait& portrait, const Scales& scales, PlotState& state) {
    Rect inside = begin_card(ui, r);
    if (portrait.measured.empty()) {
        ui.paint().text_wrapped(Type::body, ui.colour(Role::text), {inside.x0, inside.y0 + ui.em(1.0F)}, inside.w(),
                                "No temperature is written down for this bath, so no dose can be told. Type a reading below.");
        end_card(ui);
        return;
    }
    Rect hung = inside.cut_top(portrait.dips.empty() ? ui.em(0.5F) : ui.em(7.25F));
    Rect fade = inside.cut_bottom(portrait.strength_now ? ui.em(3.5F) : 0.0F);
    const PlotView view = plot_of(portrait);
    const Rect area = plot_area(ui, inside, view);
    if (!portrait.dips.empty()) {
        hang_dips(ui, {area.x0, hung.y0, area.x1, hung.y1}, area, view, portrait, scales);
    }
    plot(ui, inside, view, state);
    if (portrait.strength_now) {
        // A wedge: as high as the strength, from make-up to the end of the time line.
        const auto now_share = axis_share(view.x, portrait.now_hour).value_or(1.0);
        fade.cut_top(ui.em(1.0F));
        const Rect bar{area.x0, fade.y0, area.x1, fade.y1 - ui.em(0.25F)};
        const float now_x = bar.x0 + bar.w() * static_cast<float>(std::clamp(now_share, 0.0, 1.0));
        const auto strength = static_cast<float>(*portrait.strength_now);
        const float end = now_share > 0.0 ? std::pow(strength, static_cast<float>(1.0 / std::max(now_share, 0.05))) : strength;
        const Colour ink = ui.colour(Role::copper);
        const std::array<Vec2, 2> past_top{Vec2{bar.x0, bar.y0}, Vec2{now_x, bar.y1 - bar.h() * strength}};
        const std::array<Vec2, 2> past_low{Vec2{bar.x0, bar.y1}, Vec2{now_x, bar.y1}};
        const std::array<Vec2, 2> next_top{past_top[1], Vec2{bar.x1, bar.y1 - bar.h() * end}};
        const std::array<Vec2, 2> next_low{past_low[1], Vec2{bar.x1, bar.y1}};
        ui.paint().band(past_top, past_low, ink.faded(0.5F));
        ui.paint().band(next_top, next_low, ink.faded(0.2F));
        ui.paint().text(Type::label, ui.colour(Role::quiet), {bar.x0 - ui.em(0.625F), bar.mid_y() + ui.em(0.3F)}, "fade", Align::right);
        const bool room_right = bar.x1 - now_x > ui.em(18.0F);
        ui.paint().text(Type::label, ui.colour(Role::ink), {room_right ? now_x + ui.em(0.625F) : now_x - ui.em(0.625F), bar.mid_y() + ui.em(0.5F)},
                        portrait.fade_words, room_right ? Align::left : Align::right);
    }
    end_card(ui);
}

}  // namespace tonebath::window
