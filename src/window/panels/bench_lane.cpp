// The bench's large picture of one lane: far reading, near reading, strip.
#include "window/panels/bench_panel.hpp"

#include "app/studio.hpp"
#include "base/text.hpp"
#include "window/panels/bench_words.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/timer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr double kLookCue_s = 2.0;  // the upper bench is paper for so long when the look is due

std::string seconds_words(double seconds) { return text_of(Seconds::from_seconds(seconds)); }

// "8 s", "12 min", "3 h 5 min"
std::string age_words(double seconds) {
    const auto whole = static_cast<long>(std::max(0.0, seconds));
    return whole < 60 ? fmt::format("{} s", whole) : whole < 3600 ? fmt::format("{} min", whole / 60) : fmt::format("{} h {} min", whole / 3600, whole / 60 % 60);
}

}  // namespace

StripView BenchPage::strip_of(const app::BenchLane& lane) const {
    StripView view{.scale = scales_.drawn(lane.scale), .label = lane.tag + " on the strip"};
    if (view.scale == nullptr) {
        return view;
    }
    const auto& begins = view_.begins[static_cast<std::size_t>(lane.number - 1)];
    auto dose = app::dose_at(view_, lane, studio_->now(), studio_->clock().boot());
    if (!dose && lane.state == LaneState::rinsing && lane.dose_before_s > 0.0) {
        dose = lane.dose_before_s;  // with the dip that has just ended
    }
    if (dose) {
        if (const auto place = app::place_at(begins, *dose)) {
            view.pin = strip_place_of(*place);
            view.pin_is_film = true;
        }
    }
    if (lane.aim_tone) {
        view.aim = whole_tone(*lane.aim_tone);
        view.aim_word = "aim";
    }
    if (lane.plan && lane.plan->out_s) {
        view.may_land = ToneSpan{place_of_axis(lane.plan->lands_from_place), place_of_axis(lane.plan->lands_to_place)};
        view.may_land_words = "may land";
        // The pin of a late dip stands where these words would be.
        if (const auto in_s = app::in_bath_s(lane, studio_->now(), studio_->clock().boot()); in_s && *in_s > *lane.plan->out_s) {
            view.may_land_words.clear();
        }
        if (lane.plan->look_s && view_.bath && view_.bath->temp_known) {
            const double t0_s = view_.bath->t_of(lane.planned_for);
            const auto look_dose = science::dose_s(view_.bath->course, view_.law, t0_s, t0_s + *lane.plan->look_s);
            const auto place = look_dose ? app::place_at(begins, lane.dose_before_s + *look_dose) : std::nullopt;
            const auto in_s = app::in_bath_s(lane, studio_->now(), studio_->clock().boot());
            if (place && in_s && *in_s < *lane.plan->out_s) {
                view.look = strip_place_of(*place);
            }
        }
    }
    return view;
}

void BenchPage::draw_lane(Ui& ui, Rect place, const app::BenchLane& lane, Wishes& wishes) {
    Painter& paint = ui.paint();
    const auto in_s = app::in_bath_s(lane, studio_->now(), studio_->clock().boot());
    const bool planned = lane.plan && lane.plan->out_s;
    const double left_s = planned && in_s ? *lane.plan->out_s - *in_s : 0.0;
    const bool out_cue = planned && in_s && left_s <= 0.0;
    const bool look_cue = planned && in_s && lane.plan->look_s && *in_s >= *lane.plan->look_s && *in_s < *lane.plan->look_s + kLookCue_s;

    Rect upper = place.cut_top(ui.em(21.5F));
    if (out_cue || look_cue) {
        // The cue is a steady change: the upper bench turns to paper.
        const Rect sheet{0, upper.y0 - ui.em(0.75F), ui.screen().x1, upper.y1};
        paint.fill(sheet, ui.colour(Role::paper));
        paint.push_surface(ui.colour(Role::paper));
        draw_cue(ui, upper, lane, out_cue, left_s);
        paint.pop_surface();
    } else {
        Rect head = upper.cut_top(ui.em(3.25F));
        const Rect tag = number_tag(ui, TagShape::piece, lane.tag, head.x0, head.y0 + ui.em(1.25F), {.height_em = 2.5F});
        float x = std::max(tag.x1 + ui.em(1.5F), head.x0 + ui.em(7.375F));
        const float title_w = std::max(paint.text(Type::lead, ui.colour(Role::ink), {x, head.y0 + ui.em(1.0F)}, lane.title),
                                       paint.text(Type::label, ui.colour(Role::text), {x, head.y0 + ui.em(2.375F)}, lane.line));
        x += title_w + ui.em(1.75F);
        const Bath& bath = view_.bath->bath;
        if (x < head.x1 - ui.em(24.0F)) {
            const Rect bath_tag = number_tag(ui, TagShape::bath, "Bath " + bath.number, x, head.y0 + ui.em(1.25F), {.height_em = 2.5F});
            std::string line = view_.bath->lot ? view_.bath->lot->number : "lot not known";
            line += ", " + age_words(view_.bath->t_of(studio_->now())) + " old";
            paint.text(Type::label, ui.colour(Role::text), {bath_tag.x1 + ui.em(1.5F), head.y0 + ui.em(2.375F)}, line);
            paint.text(Type::lead, ui.colour(Role::ink), {bath_tag.x1 + ui.em(1.5F), head.y0 + ui.em(1.0F)},
                       bath.agitation ? std::string(word_of(*bath.agitation)) : "agitation not known");
        }
        Rect right = upper.cut_right(ui.width() == Width::narrow ? ui.em(18.0F) : ui.em(25.125F));
        right.y0 -= ui.em(3.25F);
        upper.cut_right(ui.em(1.0F));
        draw_far(ui, upper, lane);
        draw_look(ui, right.cut_top(ui.em(5.75F)), lane);
        right.cut_top(ui.em(0.75F));
        draw_bath_now(ui, right.cut_top(ui.em(13.5F)));
    }
    draw_strip(ui, place, lane, wishes);
}

// On paper: what to do, what it should be near by now, and how late it is.
void BenchPage::draw_cue(Ui& ui, const Rect& place, const app::BenchLane& lane, bool out, double left_s) {
    Painter& paint = ui.paint();
    const Colour ink = ui.colour(Role::paper_ink);
    const Colour quiet = ui.colour(Role::paper_quiet);
    const BootTime boot = studio_->clock().boot();
    const auto in_s = app::in_bath_s(lane, studio_->now(), boot);
    const Rect tag = number_tag(ui, TagShape::piece, lane.tag, place.x0, place.y0 + ui.em(1.25F), {.height_em = 2.5F, .fill = TagFill::inverted});
    paint.text(Type::lead, ink, {tag.x1 + ui.em(1.5F), place.y0 + ui.em(1.625F)}, lane.title);
    if (in_s) {
        paint.text(Type::leads, ink, {place.x1, place.y0 + ui.em(1.625F)}, clock_words(*in_s) + " in" + gap_words(lane, boot), Align::right);
    }
    paint.text(Type::label, quiet, {place.x1, place.y0 + ui.em(3.375F)}, out ? "stays until the key is pressed" : "two seconds", Align::right);
    const float base = place.y0 + ui.em(16.5F);
    const float x = std::max(timer_digits(ui, Type::timer, ink, {place.x0, base}, out ? "OUT" : "LOOK") + ui.em(2.5F), place.x0 + place.w() * 0.46F);
    paint.text(Type::lead, ink, {place.x0, base + ui.em(2.75F)}, out ? "Lift it out, into the rinse" : "Lift it, rinse it, look: three taps");
    const StripView strip = strip_of(lane);
    if (strip.pin && strip.scale != nullptr) {
        paint.text(Type::lead, quiet, {x, place.y0 + ui.em(6.0F)}, "Should be near");
        paint.text(Type::word, ink, {x - ui.em(0.125F), place.y0 + ui.em(10.0F)}, strip.scale->tones[static_cast<std::size_t>(strip.pin->tone)].word);
    }
    paint.text(Type::lead, quiet, {x, place.y0 + ui.em(13.0F)}, out ? "Late by" : "Out in");
    const float after = timer_digits(ui, Type::figure, ink, {x, base}, timer_text(left_s));
    paint.text(Type::lead, quiet, {after + ui.em(0.25F), base}, timer_in_seconds(left_s) ? "s" : "");
    if (!lane.aim_word.empty()) {
        paint.text(Type::lead, quiet, {place.x1, base}, "aim " + lane.aim_word, Align::right);
    }
}

void BenchPage::draw_far(Ui& ui, const Rect& place, const app::BenchLane& lane) {
    Painter& paint = ui.paint();
    const auto in_s = app::in_bath_s(lane, studio_->now(), studio_->clock().boot());
    const bool planned = lane.plan && lane.plan->out_s;
    const float label_y = place.y0 + ui.em(2.75F);
    const float big_y = place.y0 + ui.em(13.75F);
    const float below_y = place.y0 + ui.em(16.5F);
    const float middle_x = place.x0 + std::min(place.w() * 0.58F, ui.em(29.25F));
    const auto big = [&](std::string_view label, double seconds) {
        paint.text(Type::lead, ui.colour(Role::text), {place.x0, label_y}, label);
        timer_digits(ui, Type::timer, ui.colour(Role::ink), {place.x0 - ui.em(0.375F), big_y}, timer_text(seconds), timer_in_seconds(seconds) ? "s" : "");
    };
    std::string strong;
    std::string more;
    switch (lane.state) {
        case LaneState::waiting:
            if (planned) {
                big("In the bath for", *lane.plan->out_s);
                strong = fmt::format("aim {} to {}", seconds_words(*lane.plan->aim_low_s), seconds_words(*lane.plan->aim_high_s));
                more = "if it goes in now";
            } else {
                paint.text(Type::lead, ui.colour(Role::text), {place.x0, label_y}, "No time to give");
                std::string why = lane.aim_word.empty()                       ? "no tone is aimed at: lay out with an aim"
                                  : lane.plan && lane.plan->refusal           ? lane.plan->refusal->text()
                                  : !view_.fitted                             ? "reading what the log has taught"
                                                                              : "its metal or scale is not known";
                paint.text_wrapped(Type::leads, ui.colour(Role::ink), {place.x0, label_y + ui.em(2.5F)}, middle_x - place.x0 - ui.em(2.0F), why);
            }
            break;
        case LaneState::in_bath:
            if (planned) {
                big("Out in", *lane.plan->out_s - in_s.value_or(0.0));
                strong = fmt::format("aim {} to {} from now", seconds_words(std::max(0.0, *lane.plan->aim_low_s - *in_s)),
                                     seconds_words(std::max(0.0, *lane.plan->aim_high_s - *in_s)));
            } else {
                big("In the bath for", in_s.value_or(0.0));
                strong = "no time known: watch it";
            }
            more = fmt::format("in for {}:{:02}{}", static_cast<int>(*in_s) / 60, static_cast<int>(*in_s) % 60,
                               gap_words(lane, studio_->clock().boot()));
            break;
        case LaneState::rinsing: {
            const double left_s = lane.rinse_from ? view_.layout.rinse_s - seconds_between(*lane.rinse_from, studio_->now()) : 0.0;
            big("Rinse for", std::max(0.0, left_s));
            strong = left_s > 0.0 ? "clean water, keep it moving" : "rinsed long enough";
            break;
        }
        case LaneState::done:
            if (lane.dip && lane.dip->in_bath) {
                big("Was in for", lane.dip->in_bath->seconds());
            }
            strong = (lane.judged ? "judged" : "touch the strip where it is") + gap_words(lane, studio_->clock().boot());
            break;
    }
    const float w = paint.text(Type::leads, ui.colour(Role::ink), {place.x0, below_y}, strong);
    paint.text(Type::lead, ui.colour(Role::text), {place.x0 + w + ui.em(1.125F), below_y}, more);

    // Middle: should be near, and the aim.
    const StripView strip = strip_of(lane);
    if (strip.pin && strip.scale != nullptr && lane.state == LaneState::in_bath) {
        paint.text(Type::lead, ui.colour(Role::text), {middle_x, label_y}, "Should be near");
        paint.text(Type::word, ui.colour(Role::ink), {middle_x - ui.em(0.125F), label_y + ui.em(4.125F)},
                   strip.scale->tones[static_cast<std::size_t>(strip.pin->tone)].word);
    }
    if (lane.state == LaneState::waiting) {
        draw_mixed(ui, {middle_x, label_y - ui.em(2.0F), place.x1, label_y + ui.em(6.5F)}, lane);
    }
    if (!lane.aim_word.empty()) {
        paint.text(Type::lead, ui.colour(Role::text), {middle_x, label_y + ui.em(7.5F)}, "Aim");
        paint.text(Type::word, ui.colour(Role::copper), {middle_x - ui.em(0.125F), label_y + ui.em(11.5F)}, lane.aim_word);
        if (planned && lane.plan->dose_s) {
            paint.text(Type::lead, ui.colour(Role::text), {middle_x, below_y}, "equal to " + seconds_words(*lane.plan->dose_s) + " at 60 °C, fresh");
        }
    }
}

void BenchPage::draw_look(Ui& ui, const Rect& place, const app::BenchLane& lane) {
    Rect card = begin_card(ui, place);
    const auto in_s = app::in_bath_s(lane, studio_->now(), studio_->clock().boot());
    std::string what;
    std::string why;
    Mark mark = Mark::look;
    if (lane.plan && lane.plan->look_s && in_s) {
        const double left_s = *lane.plan->look_s - *in_s;
        what = left_s > 0.0 ? "Look in " + seconds_words(std::ceil(left_s)) : "Look now";
        why = "lift, rinse, look: three taps";
    } else if (lane.plan && lane.plan->look_s && lane.state == LaneState::waiting) {
        what = "Look from " + seconds_words(*lane.plan->look_s);
        why = lane.plan->rests_on.empty() ? "" : "rests on " + joined(lane.plan->rests_on, ", ");
    } else if (!refused_words_.empty()) {
        mark = Mark::ask;
        what = "Not done";
        why = refused_words_;
    } else if (lane.state == LaneState::rinsing) {
        mark = Mark::wait;
        what = "Then judge it";
        why = "two touches on the strip; what is skipped waits in the fill-in list";
    } else {
        mark = Mark::unknown;
        what = lane.state == LaneState::done ? "Then the next one" : "Watch it all the time";
        why = lane.state == LaneState::done ? "what is skipped waits in the fill-in list" : "dip a strip first: until then nothing is known";
    }
    draw_mark(ui, mark, {card.x0 + ui.em(1.125F), card.mid_y()}, ui.em(1.0F));
    const float x = card.x0 + ui.em(3.25F);
    ui.paint().text(Type::title, ui.colour(Role::ink), {x, card.y0 + ui.em(1.25F)}, ui.paint().ellipsis(Type::title, card.x1 - x, what));
    ui.paint().text_wrapped(Type::label, ui.colour(Role::text), {x, card.y0 + ui.em(2.75F)}, card.x1 - x, why);
    end_card(ui);
}

void BenchPage::draw_bath_now(Ui& ui, const Rect& place) {
    Rect card = begin_card(ui, place);
    Painter& paint = ui.paint();
    paint.text(Type::strong, ui.colour(Role::ink), {card.x0, card.y0 + ui.em(0.75F)}, "Bath now");
    const auto temp_c = app::bath_temp_c(view_, studio_->now());
    if (!temp_c) {
        paint.text_wrapped(Type::body, ui.colour(Role::text), {card.x0, card.y0 + ui.em(2.5F)}, card.w(),
                           "No temperature is written down. Press R and type a reading.");
        end_card(ui);
        return;
    }
    const double now_s = view_.bath->t_of(studio_->now());
    const auto& readings = view_.bath->readings;
    if (!readings.empty()) {
        const double ago_s = now_s - readings.back().t_s;
        paint.text(Type::label, ui.colour(Role::text), {card.x1, card.y0 + ui.em(0.75F)},
                   fmt::format("{} {}, {}", readings.back().temp_c == readings.back().shown_c ? "reading" : "corrected reading",
                               text_of(Celsius::from_celsius(readings.back().temp_c), studio_->units()), ago_s < 10.0 ? std::string("just now") : age_words(ago_s) + " ago"),
                   Align::right);
    }
    const std::string figure = text_of(Celsius::from_celsius(*temp_c), studio_->units());  // "52.3 °C", "126.1 °F"
    const std::size_t blank = figure.rfind(' ');
    figure_with_unit(ui, {card.x0, card.y0 + ui.em(4.0F)}, figure.substr(0, blank), figure.substr(blank + 1));
    if (const auto speed = app::bath_speed(view_, studio_->now())) {
        const std::string unit = "of 60 °C fresh";
        figure_with_unit(ui, {card.x1 - ui.em(12.5F), card.y0 + ui.em(4.0F)}, fixed_text(*speed, 2), unit, Type::label);
    }
    // A small curve: what was read, and what is expected from here.
    PlotView view{.id = "cooling", .label = "Bath temperature, read and expected"};
    PlotLine past{.name = "temperature", .thin = true};
    PlotLine next{.name = "expected", .expected = true};
    std::vector<double> temps;
    const double from_s = std::min(0.0, now_s);
    const double to_s = now_s + std::max(600.0, 0.4 * now_s);
    for (int i = 0; i <= 60; ++i) {
        const double t_s = from_s + (to_s - from_s) * i / 60.0;
        const PlotPoint point{t_s / 60.0, view_.bath->course.temp.temp_c(t_s)};
        (t_s <= now_s ? past : next).points.push_back(point);
        temps.push_back(point.y);
    }
    PlotMarks marks{.name = "readings"};
    for (const app::CourseReading& reading : readings) {
        if (reading.t_s >= from_s) {
            marks.points.push_back({reading.t_s / 60.0, reading.temp_c});
            temps.push_back(reading.temp_c);
        }
    }
    const auto [low, high] = std::minmax_element(temps.begin(), temps.end());
    view.x = {.low = from_s / 60.0, .high = to_s / 60.0, .most_ticks = 1, .labels = false};
    view.y = {.low = *low - 2.0, .high = *high + 2.0, .most_ticks = 1, .labels = false, .grid = false};
    view.lines = {past, next};
    view.marks = {marks};
    view.now = PlotNow{.x = now_s / 60.0};
    view.can_move = false;
    const Rect area{card.x0, card.y0 + ui.em(5.0F), card.x1, card.y1 - ui.em(1.25F)};
    plot(ui, area, view, plot_);
    paint.text(Type::label, ui.colour(Role::text), {card.x0, card.y1}, fmt::format("made up {}", time_text(view_.bath->bath.made_up_at)));
    paint.text(Type::label, ui.colour(Role::text), {card.x1, card.y1}, view_.bath->room_known ? "expected, if left alone" : "room not written down", Align::right);
    end_card(ui);
}

void BenchPage::draw_strip(Ui& ui, const Rect& place, const app::BenchLane& lane, Wishes& wishes) {
    StripView view = strip_of(lane);
    const float h = strip_height(ui, StripSize::bench);
    const Rect strip = Rect::at(place.x0, place.y0 + ui.em(2.75F), place.w(), std::min(h, place.h() - ui.em(6.0F)));
    if (view.scale == nullptr) {
        ui.paint().text_wrapped(Type::body, ui.colour(Role::text), {place.x0, place.y0 + ui.em(3.0F)}, place.w(),
                                "The metal of " + lane.tag + " is not written down, so it has no strip. Correct its part, and it is drawn here.");
        return;
    }
    const bool judging = lane.state == LaneState::done && !lane.judged;
    if (judging) {
        view.id = "judge";
        view.label = "Where is " + lane_name(lane) + "? Touch the strip";
        if (touched_ && touched_lane_ == lane.tag) {
            view.pin = *touched_;
            view.pin_is_film = false;
            view.pin_words = view.scale->tones[static_cast<std::size_t>(touched_->tone)].word;
        }
    }
    const StripTouch touch = tone_strip(ui, strip, view, StripSize::bench);
    if (!judging) {
        return;
    }
    if (touch.clicked || touch.activated) {
        touched_ = touch.place;
        touched_lane_ = lane.tag;
    }
    if (touched_ && touched_lane_ == lane.tag) {
        const std::string word = view.scale->tones[static_cast<std::size_t>(touched_->tone)].word;
        const float y = page_rect(ui).y1 - ui.em(5.25F);
        Rect row{place.x0, y, place.x1, y + ui.em(5.0F)};
        app::Form form{.action = "judgement.add"};
        form.typed[lane.is_strip ? "strip" : lane.subject.part ? "part" : "piece"] = lane.is_strip ? lane.tag : lane.subject.name;
        form.typed["tone"] = word;
        const Rect yes = row.cut_left((lane.is_strip ? row.w() * 0.4F : row.w() * 0.6F) - ui.em(0.5F));
        row.cut_left(ui.em(1.0F));
        if (button_do(ui, "judged", yes, (lane.is_strip ? "Strip " : "") + lane.tag + " is " + word, Key::space, {.type = Type::title, .enter_too = true, .bench = true})) {
            form.typed["fraction"] = fixed_text(static_cast<double>(touched_->share), 3);
            wishes.add(WishForm{std::move(form)});
        } else if (lane.is_strip) {
            // A strip pulled as the tone came says when that tone begins, which is worth more than where it lies.
            const Rect watched = row.cut_left(row.w() * 0.6F);
            row.cut_left(ui.em(1.0F));
            if (button_quiet(ui, "pulled", watched, "pulled as " + word + " came", Key::p, {.type = Type::leads, .bench = true})) {
                form.typed["watched"] = "yes";
                wishes.add(WishForm{std::move(form)});
            }
        }
        if (button_quiet(ui, "touch again", row, "Touch again", Key::esc, {.type = Type::leads, .bench = true})) {
            touched_.reset();
        }
    }
}

}  // namespace tonebath::window
