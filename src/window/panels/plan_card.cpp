#include "window/panels/plan_card.hpp"

#include "app/tone_span.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "window/panels/scales.hpp"
#include "window/widgets/bars.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/marks.hpp"
#include "window/widgets/timer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

std::string seconds_words(double seconds) { return text_of(Seconds::from_seconds(seconds)); }

// One line of the card, cut from its top.
float baseline(Rect& place, const Ui& ui, float em) {
    const Rect line = place.cut_top(ui.em(em));
    return line.y1 - ui.em(0.375F);
}

// Why the range is as wide as it is: the three largest causes.
void draw_shares(Ui& ui, Rect& card, const app::Plan& plan) {
    Painter& paint = ui.paint();
    divider(ui, card.x0, card.x1, card.y0 + ui.em(0.375F));
    card.cut_top(ui.em(0.75F));
    paint.text(Type::strong, ui.colour(Role::ink), {card.x0, baseline(card, ui, 1.5F)}, "Why the aim range");
    for (std::size_t i = 0; i < plan.shares.size() && i < 3; ++i) {
        const app::RangeShare& share = plan.shares[i];
        const float y = baseline(card, ui, 1.5F);
        paint.text(Type::label, ui.colour(Role::text), {card.x0, y}, share.cause);
        share_bar(ui, Rect{card.x1 - ui.em(9.75F), y - ui.em(0.5F), card.x1 - ui.em(3.5F), y - ui.em(0.05F)},
                  static_cast<float>(std::min(1.0, share.percent / std::max(1.0, plan.shares.front().percent))), ui.colour(Role::steel), false);
        paint.text(Type::label, ui.colour(Role::text), {card.x1, y}, fmt::format("±{} %", fixed_text(share.percent, 0)), Align::right);
    }
}

// What the time rests on, and before it what else the dip would do: as many lines as there are, scrolled where they are more
// than fit.
void draw_words(Ui& ui, Rect place, const PlanCardView& view) {
    Painter& paint = ui.paint();
    const app::Plan& plan = *view.plan;
    std::string words = "Rests on " + joined(plan.rests_on, ", ") + ". ";
    if (plan.alone.out_s) {
        words += "Your strips alone: " + seconds_words(*plan.alone.out_s) + ". ";
    }
    words += plan.agree_words.empty() ? "" : plan.agree_words + " ";
    words += plan.counts_in.empty() ? "" : "Counts in " + joined(plan.counts_in, "; ") + ". ";
    words += plan.strip_words;
    for (const std::string& caution : plan.cautions) {
        words += " " + caution;
    }
    const float line = ui.em(1.375F);
    const float width = place.w() - ui.em(1.0F);  // beside a scroll bar
    std::vector<std::string> lines;
    for (const std::string& one : view.mixed) {
        for (const std::string& wrapped : paint.wrap(Type::label, width, one)) {
            lines.push_back(wrapped);
        }
    }
    const std::size_t mixed_lines = lines.size();
    const auto rest = paint.wrap(Type::label, width, words);
    lines.insert(lines.end(), rest.begin(), rest.end());
    const float head = view.mixed.empty() ? 0.0F : ui.em(1.75F);
    place.cut_top(ui.em(0.25F));
    place.cut_bottom(ui.em(0.75F));
    ScrollState own;
    const float height = head + line * static_cast<float>(lines.size()) + ui.em(0.25F);
    const Rect content = begin_scroll(ui, "plan words", place, height, view.scroll != nullptr ? *view.scroll : own);
    float y = content.y0;
    if (!view.mixed.empty()) {
        draw_mark(ui, Mark::ask, {content.x0 + ui.em(0.625F), y + ui.em(0.875F)}, ui.em(0.5625F));
        paint.text(Type::strong, ui.colour(Role::ink), {content.x0 + ui.em(1.625F), y + ui.em(1.1875F)},
                   paint.ellipsis(Type::strong, width - ui.em(1.625F), "Before " + view.mixed_piece + " goes in"));
        y += head;
    }
    for (std::size_t i = 0; i < lines.size(); ++i) {
        y += line;
        paint.text(Type::label, ui.colour(i < mixed_lines ? Role::ink : Role::text), {content.x0, y - ui.em(0.375F)}, lines[i]);
    }
    end_scroll(ui);
}

}  // namespace

PlanCardUse plan_card(Ui& ui, const Rect& r, const PlanCardView& view) {
    PlanCardUse use = PlanCardUse::none;
    Rect card = begin_card(ui, r, Role::slab, 1.5F);
    Painter& paint = ui.paint();
    // A narrow card has its two buttons one above the other, and leaves out why the range is as wide as it is.
    const bool narrow = ui.width() == Width::narrow;
    Rect buttons = card.cut_bottom(ui.em(narrow ? 6.25F : 3.0F));
    section_head(ui, card, card.y0 + ui.em(0.75F), "Plan", view.bath.empty() ? "" : "Bath " + view.bath + ", now");
    card.cut_top(ui.em(1.5F));
    paint.text(Type::label, ui.colour(Role::text), {card.x0, baseline(card, ui, 1.5F)}, "Aim");
    // A long word is drawn smaller rather than cut off.
    const Type aim_type = paint.text_width(Type::word, view.aim_word) > card.w() ? Type::figure : Type::word;
    paint.text(aim_type, ui.colour(Role::copper), {card.x0 - ui.em(0.125F), baseline(card, ui, 3.75F)}, paint.ellipsis(aim_type, card.w(), view.aim_word));
    StripView strip{.scale = view.scale, .words = false, .label = "Aim and where this piece may land"};
    strip.aim = ToneSpan{{view.aim, 0.0F}, {view.aim, 1.0F}};
    if (view.plan != nullptr) {
        strip.may_land = ToneSpan{place_of_axis(view.plan->lands_from_place), place_of_axis(view.plan->lands_to_place)};
    }
    card.cut_top(ui.em(0.875F));
    tone_strip(ui, card.cut_top(ui.em(1.75F)), strip, StripSize::small);
    card.cut_top(ui.em(0.75F));
    if (view.plan == nullptr) {
        paint.text_wrapped(Type::body, ui.colour(Role::text), {card.x0, card.y0 + ui.em(1.5F)}, card.w(), view.no_plan_words);
    } else {
        const app::Plan& plan = *view.plan;
        paint.text(Type::label, ui.colour(Role::text), {card.x0, baseline(card, ui, 1.5F)}, "Out at");
        figure_with_unit(ui, {card.x0, baseline(card, ui, 3.0F)}, timer_text(*plan.out_s), timer_in_seconds(*plan.out_s) ? "s" : "", Type::figure);
        paint.text(Type::strong, ui.colour(Role::ink), {card.x0, baseline(card, ui, 1.625F)},
                   fmt::format("aim {} to {}", seconds_words(*plan.aim_low_s), seconds_words(*plan.aim_high_s)));
        if (plan.look_s) {
            paint.text(Type::body, ui.colour(Role::text), {card.x0, baseline(card, ui, 1.5F)}, "look from " + seconds_words(*plan.look_s));
        }
        if (plan.dose_s) {
            paint.text(Type::body, ui.colour(Role::text), {card.x0, baseline(card, ui, 1.5F)}, "equal to " + seconds_words(*plan.dose_s) + " at 60 °C, fresh");
        }
        if (!narrow) {
            draw_shares(ui, card, plan);
        }
        divider(ui, card.x0, card.x1, card.y0 + ui.em(0.375F));
        card.cut_top(ui.em(0.75F));
        const float y_land = baseline(card, ui, 1.5F);
        const float land_w = paint.text(Type::label, ui.colour(Role::text), {card.x0, y_land}, "May land");
        paint.text(Type::strong, ui.colour(Role::ink), {card.x0 + land_w + ui.em(0.5F), y_land},
                   app::tone_span(plan.lands_from, plan.lands_to));
        draw_words(ui, card, view);
    }
    if (view.can_write) {
        const Rect strip_button = narrow ? buttons.cut_top(ui.em(2.75F)) : buttons.cut_left(ui.em(8.75F));
        if (narrow) {
            buttons.cut_top(ui.em(0.5F));
        } else {
            buttons.cut_left(ui.em(0.75F));
        }
        if (button_plain(ui, "dip a strip", strip_button, "Dip a strip", Key::s, {.take_key = false})) {
            use = PlanCardUse::strip;
        }
        if (button_do(ui, "start", buttons, "Start", Key::space, {.enter_too = true})) {
            use = PlanCardUse::start;
        }
    }
    end_card(ui);
    return use;
}

}  // namespace tonebath::window
