#include "window/panels/air_gauge.hpp"

#include "base/quantity_text.hpp"
#include "model/rules/rule.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/plot.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

// One thing beside the scale: what it is called, from what to what, and where its words end up.
struct GaugeLabel {
    double ppm = 0.0;
    std::optional<double> to_ppm;
    std::string head, line;
    Role role = Role::ink;
    bool danger = false;
    float value_y = 0.0F, y = 0.0F, height = 0.0F;
};

constexpr double kLeast = 0.001, kMost = 1000.0;

std::vector<GaugeLabel> labels_of(const app::SafetyView& view) {
    const app::AirAnswer& air = *view.air;
    std::vector<GaugeLabel> labels;
    for (const app::GasEffect& effect : view.effects) {
        if (!effect.drawn.empty()) {
            const bool grave = effect.low_ppm >= 100.0;
            labels.push_back({.ppm = effect.low_ppm, .to_ppm = effect.high_ppm, .head = effect.drawn, .line = effect.ppm_words() + ", " + effect.trust, .role = grave ? Role::stop : Role::quiet});
        }
    }
    if (air.used) {
        labels.push_back({.ppm = air.used->ppm, .to_ppm = std::nullopt, .head = "the limit used: " + rules::figure(air.used->ppm) + " ppm", .line = air.used->words()});
    }
    const bool over = air.used && air.ppm >= air.used->ppm;
    labels.push_back({.ppm = air.ppm, .to_ppm = std::nullopt, .head = "worst case " + fixed_text(air.ppm, 1) + " ppm",
                      .line = "so: no acid in the room, and the fan on", .role = Role::look, .danger = over});
    std::stable_sort(labels.begin(), labels.end(), [](const GaugeLabel& a, const GaugeLabel& b) { return a.ppm > b.ppm; });
    return labels;
}

// Each at its own height, moved apart where they would meet, and kept inside.
void lay_out(std::vector<GaugeLabel>& labels, float top, float bottom, float gap) {
    float free_from = top;
    for (GaugeLabel& one : labels) {
        one.y = std::max(one.value_y - one.height / 2.0F, free_from);
        free_from = one.y + one.height + gap;
    }
    float free_to = bottom;
    for (auto one = labels.rbegin(); one != labels.rend(); ++one) {
        one->y = std::min(one->y, free_to - one->height);
        free_to = one->y - gap;
    }
}

}  // namespace

void air_gauge(Ui& ui, const Rect& place, const app::SafetyView& view) {
    Rect card = begin_card(ui, place);
    Painter& paint = ui.paint();
    section_head(ui, card, card.y0 + ui.em(0.75F), "Air, if acid met this bath");
    if (!view.air) {
        paint.text_wrapped(Type::body, ui.colour(Role::text), {card.x0, card.y0 + ui.em(3.0F)}, card.w(), view.why_no_air);
        end_card(ui);
        return;
    }
    const app::AirAnswer& air = *view.air;
    const std::string figure = fixed_text(air.ppm, 1) + " ppm";
    paint.text(Type::figure, ui.colour(Role::ink), {card.x0, card.y0 + ui.em(4.0F)}, figure);
    const float told = paint.text_wrapped(Type::label, ui.colour(Role::text), {card.x0, card.y0 + ui.em(5.625F)}, card.w(),
                                          view.about + "; " + view.room_words + ", no air change", Align::left, ui.em(1.25F));
    const float warned = ui.em(1.5F) * static_cast<float>(paint.wrap(Type::strong, card.w(), air.at_vessel).size());
    const Rect last = card.cut_bottom(warned + ui.em(0.75F));
    paint.text_wrapped(Type::strong, ui.colour(Role::look), {last.x0, last.y0 + ui.em(1.5F)}, last.w(), air.at_vessel, Align::left, ui.em(1.5F));

    const Axis axis{.kind = AxisKind::log, .low = kLeast, .high = std::max(kMost, std::pow(10.0, std::ceil(std::log10(air.ppm)))), .name = {}, .most_ticks = 8};
    const Rect scale{card.x0 + ui.em(2.5F), card.y0 + ui.em(5.875F) + told, card.x0 + ui.em(3.375F), card.y1 - ui.em(0.25F)};
    const auto height_of = [&](double ppm) {
        return scale.y1 - static_cast<float>(axis_share(axis, std::clamp(ppm, axis.low, axis.high)).value_or(0.0)) * scale.h();
    };
    paint.fill(scale, ui.colour(Role::well), ui.em(0.4375F));
    const float top = height_of(air.ppm);
    paint.fill({scale.x0 + paint.px(2), top, scale.x1 - paint.px(2), scale.y1 - paint.px(2)}, ui.colour(Role::look).faded(0.55F), ui.em(0.25F));
    for (const double tick : axis_ticks(axis)) {
        const float y = height_of(tick);
        paint.hline(scale.x0 - ui.em(0.375F), scale.x0 - paint.px(1), y, ui.colour(Role::quiet), paint.px(1));
        paint.text(Type::label, ui.colour(Role::quiet), {scale.x0 - ui.em(0.625F), y + ui.em(0.3125F)}, rules::figure(tick), Align::right);
    }
    std::vector<GaugeLabel> labels = labels_of(view);
    const float x = scale.x1 + ui.em(3.0F);
    for (GaugeLabel& one : labels) {
        one.value_y = height_of(one.to_ppm ? std::sqrt(one.ppm * *one.to_ppm) : one.ppm);
        one.height = ui.em(1.25F) * static_cast<float>(paint.wrap(Type::strong, card.x1 - x, one.head).size() + paint.wrap(Type::label, card.x1 - x, one.line).size());
    }
    lay_out(labels, scale.y0 - ui.em(0.5F), scale.y1 + ui.em(0.5F), ui.em(0.5F));
    for (const GaugeLabel& one : labels) {
        const Colour line = ui.colour(one.role);
        const float from = scale.x1 + ui.em(0.25F);
        if (one.to_ppm) {
            paint.fill({from, height_of(*one.to_ppm), from + ui.em(0.3125F), height_of(one.ppm)}, line, ui.em(0.125F));
        } else if (one.role == Role::look) {
            paint.hline(scale.x0 - paint.px(2), scale.x1 + paint.px(2), one.value_y - paint.px(1), line, paint.px(3));
        }
        const float mid = one.y + ui.em(0.75F);
        const std::vector<Vec2> lead{{from + ui.em(0.375F), one.value_y}, {from + ui.em(0.875F), one.value_y}, {x - ui.em(1.0F), mid}, {x - ui.em(0.5F), mid}};
        paint.polyline(lead, line, paint.fine(2));
        float words_x = x;
        if (one.danger) {
            draw_mark(ui, Mark::warn, {x + ui.em(0.5625F), mid - ui.em(0.0625F)}, ui.em(0.5625F));
            words_x += ui.em(1.5F);
        }
        float y = one.y + ui.em(1.0F);
        y += paint.text_wrapped(Type::strong, ui.colour(Role::ink), {words_x, y}, card.x1 - words_x, one.head, Align::left, ui.em(1.25F));
        paint.text_wrapped(Type::label, ui.colour(Role::text), {x, y}, card.x1 - x, one.line, Align::left, ui.em(1.25F));
    }
    ui.report("gauge", {.kind = "gauge", .label = "ppm if acid met the bath", .value = figure, .rect = scale, .fg = ui.colour(Role::look), .bg = ui.colour(Role::slab), .interactive = false});
    end_card(ui);
}

}  // namespace tonebath::window
