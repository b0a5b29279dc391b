// Several lanes in one bath: what is next stands large at the top with its key, below it a wire a lane. Lanes never move;
// height tells state: hung above the surface it waits or is out, below it it is in the bath, in a bowl it is rinsed.
#include "window/panels/bench_panel.hpp"

#include "app/studio.hpp"
#include "window/panels/bench_words.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/timer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace tonebath::window {

namespace {

struct Cue {
    double in_s = 0.0;
    int lane = 0;
    bool out = false;
};

// What comes after the lane on the key, soonest first.
std::vector<Cue> cues_after(const std::vector<Lane>& lanes, int on_key) {
    std::vector<Cue> cues;
    for (const Lane& lane : lanes) {
        if (lane.number == on_key) {
            continue;
        }
        if (lane.state == LaneState::in_bath && lane.out_in_s) {
            cues.push_back({*lane.out_in_s, lane.number, true});
        } else if (lane.state == LaneState::waiting && lane.drop_in_s) {
            cues.push_back({*lane.drop_in_s, lane.number, false});
        }
    }
    std::sort(cues.begin(), cues.end(), [](const Cue& a, const Cue& b) { return a.in_s < b.in_s; });
    return cues;
}

// "2 out · 1 in the rinse · 4 in the bath · 3 waiting", without those that are nobody.
std::string count_words(const std::vector<Lane>& lanes) {
    std::string words;
    const auto add = [&](LaneState state, std::string_view word) {
        const auto count = std::count_if(lanes.begin(), lanes.end(), [state](const Lane& lane) { return lane.state == state; });
        if (count > 0) {
            words += fmt::format("{}{} {}", words.empty() ? "" : " · ", count, word);
        }
    };
    add(LaneState::done, "out");
    add(LaneState::rinsing, "in the rinse");
    add(LaneState::in_bath, "in the bath");
    add(LaneState::waiting, "waiting");
    return words;
}

}  // namespace

LaneStripView BenchPage::upright_of(const app::BenchLane& lane) const {
    LaneStripView view{.scale = scales_.drawn(lane.scale), .film_known = false, .in_rinse = lane.state == LaneState::rinsing};
    if (view.scale == nullptr) {
        return view;
    }
    const auto count = static_cast<float>(view.scale->tones.size());
    auto dose = app::dose_at(view_, lane, studio_->now(), studio_->clock().boot());
    if (!dose && lane.dose_before_s > 0.0) {
        dose = lane.dose_before_s;
    }
    if (const auto place = dose ? app::place_at(view_.begins[static_cast<std::size_t>(lane.number - 1)], *dose) : std::nullopt) {
        view.film = (static_cast<float>(place->tone) + static_cast<float>(place->share)) / count;
        view.film_known = true;
    }
    if (lane.aim_tone) {
        view.aim = std::pair{static_cast<float>(*lane.aim_tone) / count, static_cast<float>(*lane.aim_tone + 1) / count};
    }
    return view;
}

void BenchPage::draw_board(Ui& ui, const Rect& page, const Glance& glance, Wishes& wishes) {
    const auto lanes = app::lanes_at(view_, studio_->now(), studio_->clock().boot());
    Rect below = page;
    const Rect upper = below.cut_top(ui.fonts()[Type::next].cap_px + ui.em(4.25F));
    draw_next(ui, upper, lanes, glance, wishes);
    below.cut_top(ui.em(1.5F));
    below.y1 = foot_rect(ui).y0 - ui.em(0.75F);
    draw_lanes(ui, below, lanes);
}

// The lane on the key: its number, its seconds, its key; after it the next ones; at the right the bath.
void BenchPage::draw_next(Ui& ui, const Rect& place, const std::vector<Lane>& lanes, const Glance& glance, Wishes& wishes) {
    Painter& paint = ui.paint();
    const KeyAct now = act();
    const app::BenchLane* one = lane(now.lane);
    const float card_w = ui.width() == Width::narrow ? ui.em(17.0F) : ui.em(25.0F);
    Rect left = place;
    const Rect card = left.cut_right(card_w);
    left.cut_right(ui.em(1.0F));

    const auto at = std::find_if(lanes.begin(), lanes.end(), [&](const Lane& lane) { return lane.number == now.lane; });
    std::string label = "Nothing is due";
    std::optional<double> seconds;
    bool out_now = false;
    if (one != nullptr && at != lanes.end()) {
        switch (now.act) {
            case BenchAct::drop:
                label = "Next in";
                seconds = at->drop_in_s;
                if (!seconds && one->plan && one->plan->out_s) {
                    label = "Next in, out after";
                    seconds = *one->plan->out_s;
                }
                break;
            case BenchAct::lift_out:
                label = at->out_in_s ? "Next out" : "In the bath for, no time known";
                seconds = at->out_in_s ? at->out_in_s : app::in_bath_s(*one, studio_->now(), studio_->clock().boot());
                out_now = at->out_in_s && *at->out_in_s <= 0.0;
                break;
            case BenchAct::end_rinse:
                label = "Rinse";
                seconds = at->rinse_left_s ? std::max(0.0, *at->rinse_left_s) : 0.0;
                break;
            case BenchAct::none:
                break;
        }
    }
    // The cue is a steady change: the upper bench turns to paper until the key is pressed.
    const Role ground = out_now ? Role::paper : Role::ground;
    if (out_now) {
        paint.fill({ui.screen().x0, place.y0 - ui.em(0.75F), ui.screen().x1, place.y1 + ui.em(0.5F)}, ui.colour(Role::paper));
    }
    paint.push_surface(ui.colour(ground));
    const Colour ink = ui.colour(out_now ? Role::paper_ink : Role::ink);
    const Colour text = ui.colour(out_now ? Role::paper_quiet : Role::text);
    paint.text(Type::lead, text, {left.x0, left.y0 + ui.em(1.25F)}, label + (one != nullptr ? gap_words(*one, studio_->clock().boot()) : ""));
    const float cap = ui.fonts()[Type::next].cap_px;
    const float base = left.y0 + ui.em(2.5F) + cap;
    float x = left.x0;
    if (one != nullptr) {
        const float radius = std::round(cap * 0.5F + ui.em(0.25F));
        seat_disc(ui, now.act == BenchAct::lift_out ? SeatState::in_bath : SeatState::next_in, lane_disc(*one),
                  {x + radius, base - cap * 0.5F}, radius);
        x += radius * 2.0F + ui.em(1.0F);
    }
    if (seconds) {
        const double shown = now.act == BenchAct::drop ? std::max(0.0, *seconds) : *seconds;
        if (out_now) {
            x = timer_digits(ui, Type::next, ink, {x, base}, "OUT");
        } else {
            x = timer_digits(ui, Type::next, ink, {x, base}, timer_text(shown), timer_in_seconds(shown) ? "s" : "", Type::figure);
        }
    }
    x = std::max(x + ui.em(1.5F), left.x0 + (ui.width() == Width::narrow ? ui.em(17.0F) : ui.em(19.0F)));
    Rect middle{x, left.y0, left.x1, left.y1};
    const Rect key = middle.cut_top(ui.em(5.0F));
    if (auto view = key_view()) {
        view->compact = true;
        view->then.clear();
        if (one != nullptr) {
            view->label = lane_key_words(now.act, *one);
        }
        if (glance.read_only) {
            view->refused = "another window writes";
        }
        if (bench_key(ui, key, *view).pressed) {
            press(wishes);
        }
    }
    const float then_y = middle.y0 + ui.em(1.5F);
    if (out_now) {
        paint.text(Type::title, ink, {x, then_y + ui.em(0.5F)},
                   *seconds > -0.5 ? "Lift it out now" : "late by " + text_of(Seconds::from_seconds(-*seconds)));
    } else {
        float then_x = x;
        for (const Cue& cue : cues_after(lanes, now.lane)) {
            const std::string words = (cue.out ? "out in " : "in after ") + clock_words(std::max(0.0, cue.in_s));
            const float w = ui.em(2.625F) + paint.text_width(Type::lead, words) + ui.em(1.25F);
            const float lead = then_x == x ? paint.text_width(Type::lead, "then ") : 0.0F;
            if (then_x + lead + w - ui.em(1.25F) > middle.x1) {
                break;
            }
            if (lead > 0.0F) {
                then_x += paint.text(Type::lead, text, {then_x, then_y + ui.em(0.375F)}, "then ");
            }
            seat_disc(ui, cue.out ? SeatState::in_bath : SeatState::waiting, std::to_string(cue.lane), {then_x + ui.em(1.0F), then_y}, ui.em(1.0F));
            paint.text(Type::lead, text, {then_x + ui.em(2.5F), then_y + ui.em(0.375F)}, words);
            then_x += w;
        }
        if (const app::MixedView* mixed = one != nullptr && now.act == BenchAct::drop ? mixed_of(*one) : nullptr) {
            const float y = then_y + ui.em(2.25F);
            draw_mark(ui, Mark::ask, {x + ui.em(0.5F), y}, ui.em(0.5F));
            paint.text(Type::label, ui.colour(Role::ink), {x + ui.em(1.5F), y + ui.em(0.375F)}, paint.ellipsis(Type::label, middle.x1 - x - ui.em(1.5F), mixed->words.front()));
        }
    }
    paint.pop_surface();
    draw_bath_card(ui, card, lanes);
}

void BenchPage::draw_bath_card(Ui& ui, const Rect& place, const std::vector<Lane>& lanes) {
    Rect card = begin_card(ui, place, Role::slab, 1.0F);
    Painter& paint = ui.paint();
    const float y = card.y0 + ui.em(0.75F);
    paint.text(Type::strong, ui.colour(Role::ink), {card.x0, y}, "Bath " + view_.bath->bath.number);
    if (const auto temp_c = app::bath_temp_c(view_, studio_->now())) {
        paint.text(Type::leads, ui.colour(Role::ink), {card.x1, y + ui.em(0.125F)}, text_of(Celsius::from_celsius(*temp_c), studio_->units()), Align::right);
        if (const auto speed = app::bath_speed(view_, studio_->now())) {
            paint.text(Type::label, ui.colour(Role::text), {card.x1, y + ui.em(1.75F)}, fixed_text(*speed, 2) + " of 60 °C fresh", Align::right);
        }
    } else {
        paint.text(Type::label, ui.colour(Role::text), {card.x1, y}, "no reading yet: press R", Align::right);
    }
    const auto clashes = cue_clashes(lanes);
    const float rows_y = y + ui.em(3.75F);
    if (!refused_words_.empty()) {
        draw_mark(ui, Mark::ask, {card.x0 + ui.em(0.5F), rows_y - ui.em(0.375F)}, ui.em(0.5F));
        paint.text(Type::label, ui.colour(Role::look), {card.x0 + ui.em(1.5F), rows_y},
                   paint.ellipsis(Type::label, card.w() - ui.em(1.5F), refused_words_));
    } else if (!clashes.empty()) {
        const CueClash& first = clashes.front();
        draw_mark(ui, Mark::ask, {card.x0 + ui.em(0.5F), rows_y - ui.em(0.375F)}, ui.em(0.5F));
        paint.text(Type::label, ui.colour(Role::look), {card.x0 + ui.em(1.5F), rows_y},
                   paint.ellipsis(Type::label, card.w() - ui.em(1.5F),
                                  fmt::format("lanes {} and {} together in {}", first.first_lane, first.second_lane,
                                              clock_words(std::max(0.0, first.in_s)))));
        const auto apart_s = view_.layout.every_s ? interval_apart_s(lanes, *view_.layout.every_s) : std::nullopt;
        const std::string remedy = apart_s ? fmt::format("L: every {} keeps them apart", clock_words(*apart_s)) : "L: another order or interval";
        paint.text(Type::label, ui.colour(Role::text), {card.x0, rows_y + ui.em(2.75F)}, paint.ellipsis(Type::label, card.w(), remedy));
    } else {
        paint.text(Type::label, ui.colour(Role::text), {card.x0, rows_y}, "no two cues closer than 4 s");
    }
    paint.text(Type::label, ui.colour(Role::text), {card.x0, rows_y + ui.em(1.375F)}, paint.ellipsis(Type::label, card.w(), count_words(lanes)));
    end_card(ui);
}

void BenchPage::draw_lanes(Ui& ui, const Rect& place, const std::vector<Lane>& lanes) {
    Painter& paint = ui.paint();
    const auto count = static_cast<int>(lanes.size());
    const float pitch = std::min(place.w() / static_cast<float>(count), ui.em(9.0F));
    const float x0 = place.mid_x() - pitch * static_cast<float>(count) * 0.5F;
    const bool roomy = pitch >= ui.em(5.5F);
    const float wire_y = place.y0 + ui.em(1.0F);
    const float words_y = place.y1 - ui.em(2.5F);
    const float pool_y1 = words_y - ui.em(roomy ? 3.0F : 2.25F);
    // Half of what is left above the surface, half below it.
    const float hang_y = wire_y + ui.em(1.75F);
    const float surface_y = std::round((hang_y + pool_y1) * 0.5F);
    const float length = std::min(surface_y - hang_y - ui.em(1.25F), ui.em(16.0F));
    const float strip_w = std::min(std::round(pitch * 0.375F), ui.em(2.375F));
    const KeyAct now = act();

    wire_across(ui, place.x0, place.x1, wire_y);
    paint.gradient_down({place.x0, surface_y, place.x1, pool_y1}, ui.colour(Role::look).faded(0.18F), ui.colour(Role::look).faded(0.04F));
    paint.hline(place.x0, place.x1, surface_y, ui.colour(Role::look).faded(0.7F), 1.5F);
    for (int i = 0; i < count; ++i) {
        const Lane& lane = lanes[static_cast<std::size_t>(i)];
        const app::BenchLane& one = view_.lanes[static_cast<std::size_t>(i)];
        const Rect column{std::round(x0 + pitch * static_cast<float>(i)), place.y0, std::round(x0 + pitch * static_cast<float>(i + 1)), place.y1};
        const float x = std::round(column.mid_x());
        const std::string id = "lane " + std::to_string(lane.number);
        const Touch touch = ui.touch(id, column, Focusable::no);
        const bool on_key = now.lane == lane.number;
        if (on_key) {
            paint.fill({column.x0 + ui.em(0.125F), place.y0 - ui.em(0.25F), column.x1 - ui.em(0.125F), pool_y1}, ui.colour(Role::ink).faded(0.08F), ui.em(0.375F));
        }
        if (picked_ == lane.number) {
            paint.outline({column.x0 + ui.em(0.125F), place.y0 - ui.em(0.25F), column.x1 - ui.em(0.125F), place.y1}, ui.colour(Role::copper), ui.px(2), ui.em(0.375F));
        }
        const bool in = lane.state == LaneState::in_bath;
        const float top = in ? surface_y - ui.px(2) : hang_y;
        wire_down(ui, x, wire_y, top + ui.em(0.5F));
        seat_disc(ui, in ? SeatState::in_bath : on_key ? SeatState::next_in : SeatState::waiting, lane_disc(one), {x, wire_y},
                  std::min(ui.em(1.0625F), pitch * 0.42F));
        const LaneStripView strip = upright_of(one);
        if (strip.scale != nullptr) {
            lane_strip(ui, Rect::at(x - std::round(strip_w * 0.5F), top, strip_w, length), strip);
        }
        draw_lane_words(ui, column, words_y, lane, one);
        if (touch.clicked) {
            picked_ = lane.number;
        }
    }
}

// Two lines under a lane: its seconds, or what it waits for, and what it is.
void BenchPage::draw_lane_words(Ui& ui, const Rect& column, float y, const Lane& lane, const app::BenchLane& one) {
    Painter& paint = ui.paint();
    const float pitch = column.w();
    const bool roomy = pitch >= ui.em(5.5F);
    const float x = std::round(column.mid_x());
    Type type = Type::strong;
    std::string words;
    switch (lane.state) {
        case LaneState::in_bath: {
            const double left_s = lane.out_in_s ? *lane.out_in_s : app::in_bath_s(one, studio_->now(), studio_->clock().boot()).value_or(0.0);
            words = timer_text(left_s);
            type = roomy ? Type::figure : Type::title;
            if (paint.text_width(type, words) > pitch - ui.em(0.25F)) {
                type = roomy ? Type::title : Type::strong;
            }
            break;
        }
        case LaneState::waiting:
            words = lane.drop_in_s ? (roomy ? "in " : "") + clock_words(std::max(0.0, *lane.drop_in_s)) : "waits";
            break;
        case LaneState::rinsing:
            words = (roomy ? "rinse " : "") + clock_words(std::max(0.0, lane.rinse_left_s.value_or(0.0)));
            break;
        case LaneState::done:
            words = one.judged ? "judged" : "out";
            break;
    }
    if (type == Type::strong && paint.text_width(type, words) > pitch - ui.em(0.25F)) {
        type = Type::small;
    }
    paint.text(type, ui.colour(Role::ink), {x, y}, words, Align::centre);
    std::string what = one.tag;
    if (roomy && !one.aim_word.empty() && paint.text_width(Type::label, what + " to " + one.aim_word) <= pitch - ui.em(0.5F)) {
        what += " to " + one.aim_word;
    }
    const Type small = paint.text_width(Type::label, what) <= pitch - ui.em(0.25F) ? Type::label : Type::small;
    paint.text(small, ui.colour(Role::text), {x, y + ui.em(1.5F)}, paint.ellipsis(small, pitch, what), Align::centre);
    ui.report("lane " + std::to_string(lane.number), {.kind = "lane", .label = fmt::format("{} {}, {}", lane.number, one.tag, words), .rect = column, .bench = true});
}

}  // namespace tonebath::window
