#include "window/panels/matched_block.hpp"

#include "base/quantity_text.hpp"
#include "window/panels/planning_block.hpp"
#include "window/panels/scales.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/slider.hpp"

#include <algorithm>

namespace tonebath::window {

namespace {

std::string seconds_words(double seconds) { return text_of(Seconds::from_seconds(seconds)); }

}  // namespace

void matched_block(Ui& ui, const Rect& r, const app::MatchedView* view, const DrawnScale* scale, MatchedState& state) {
    if (view == nullptr) {
        words_card(ui, r, "Working it out …");
        return;
    }
    if (view->stops.empty() || scale == nullptr) {
        words_card(ui, r, view->none);
        return;
    }
    if (const std::string of = view->head + view->actual_words + std::to_string(view->stops.size()); of != state.of) {
        state = {.of = of, .at = view->actual};
    }
    Rect rest = r;
    Rect card = begin_card(ui, rest.cut_top(ui.em(17.5F)));
    section_head(ui, card, card.y0 + ui.em(0.75F), "What would have matched", view->head);
    card.cut_top(ui.em(1.5F));
    const Rect said = card.cut_top(ui.em(2.0F));
    const app::MatchedStop& now = view->stops[std::min(state.at, view->stops.size() - 1)];
    Painter& paint = ui.paint();
    const float width = paint.text(Type::leads, ui.colour(Role::copper), {said.x0, said.y0 + ui.em(1.25F)}, seconds_words(now.seconds));
    paint.text(Type::leads, ui.colour(Role::ink), {said.x0 + width + ui.em(0.75F), said.y0 + ui.em(1.25F)},
               paint.ellipsis(Type::leads, said.w() - width - ui.em(0.75F), state.at == view->actual ? "as it was: " + now.words : now.words));
    card.cut_top(ui.em(1.75F));
    StripView strip{.scale = scale, .label = "Where it would have been"};
    strip.pin = place_of_axis(now.place);
    strip.may_land = ToneSpan{place_of_axis(now.low), place_of_axis(now.high)};
    strip.mates = {place_of_axis(view->stops[view->actual].place)};
    tone_strip(ui, card.cut_top(strip_height(ui, StripSize::plan)), strip, StripSize::plan);
    card.cut_top(ui.em(2.25F));
    SliderView line{.id = "seconds", .label = "Seconds in the bath", .value = seconds_words(now.seconds) + ", " + now.words, .low = seconds_words(view->stops.front().seconds),
                    .high = seconds_words(view->stops.back().seconds), .marked = view->actual, .marked_words = view->actual_words, .arrows_always = true};
    for (const app::MatchedStop& stop : view->stops) {
        line.stops.push_back(stop.seconds);
    }
    static_cast<void>(slider(ui, card.cut_top(slider_height(ui)), line, state.at));
    end_card(ui);
    rest.cut_top(ui.em(0.75F));
    planning_block(ui, rest, "matched", view->table, state.scroll);
}

}  // namespace tonebath::window
