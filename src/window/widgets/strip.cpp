#include "window/widgets/strip.hpp"

#include "window/widgets/marks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

// The run of a strip: what follows the bare end.
Rect run_of(const Ui& ui, const Rect& r, const StripView& view) {
    Rect run = r.snapped();
    if (view.bare_end) {
        run.x0 = std::round(run.x0 + run.h() * ui.look().strip.tab);
    }
    return run;
}

int tone_count(const StripView& view) {
    return static_cast<int>(view.scale->tones.size());
}

float border(const StripView& view, int i) {
    const auto count = static_cast<float>(tone_count(view));
    return view.borders.empty() ? static_cast<float>(i) / count : view.borders[static_cast<std::size_t>(i)];
}

Colour tone_colour(const StripView& view, int i) {
    return view.scale->tones[static_cast<std::size_t>(i)].colour.value_or(view.scale->bare);
}

float place_share(const StripView& view, TonePlace place) {
    const int tone = std::clamp(place.tone, 0, tone_count(view) - 1);
    const float from = border(view, tone);
    return from + (border(view, tone + 1) - from) * std::clamp(place.share, 0.0F, 1.0F);
}

void draw_bare_end(Ui& ui, const Rect& r, const Rect& run, Colour bare) {
    Painter& paint = ui.paint();
    const auto& shape = ui.look().strip;
    const float q = std::round(r.h() * shape.chamfer);
    const std::array<Vec2, 6> tab{Vec2{r.x0 + q, r.y0}, Vec2{run.x0, r.y0},   Vec2{run.x0, r.y1},
                                  Vec2{r.x0 + q, r.y1}, Vec2{r.x0, r.y1 - q}, Vec2{r.x0, r.y0 + q}};
    paint.polygon(tab, bare);
    const Colour edge = ui.colour(Role::edge).faded(0.55F);
    const float half = paint.px(1) * 0.5F;
    const std::array<Vec2, 4> rim{Vec2{r.x0 + q, r.y0 + half}, Vec2{r.x0 + half, r.y0 + q}, Vec2{r.x0 + half, r.y1 - q},
                                  Vec2{r.x0 + q, r.y1 - half}};
    paint.polyline(rim, edge, paint.px(1));
    paint.fill({r.x0 + q, r.y0, run.x0, r.y0 + paint.px(1)}, edge);
    paint.fill({r.x0 + q, r.y1 - paint.px(1), run.x0, r.y1}, edge);
    const Vec2 hole{r.x0 + r.h() * 0.322F, r.mid_y()};
    paint.circle(hole, r.h() * shape.hole + paint.fine(0.5F), mix(bare, Colour{0, 0, 0, 255}, 0.36F));
    paint.circle(hole, r.h() * shape.hole - paint.fine(0.5F), paint.surface());
}

void draw_run(Ui& ui, const Rect& run, const StripView& view) {
    Painter& paint = ui.paint();
    const int count = tone_count(view);
    const float blend = (1 - ui.look().strip.plateau) * 0.5F;
    const auto x_of = [&run](float share) { return std::round(run.x0 + run.w() * share); };
    float x = run.x0;
    for (int i = 0; i < count; ++i) {
        const float from = border(view, i);
        const float width = border(view, i + 1) - from;
        const Colour colour = tone_colour(view, i);
        const float flat_end = i + 1 == count ? run.x1 : x_of(from + width * (1 - blend));
        paint.fill({x, run.y0, flat_end, run.y1}, colour);
        x = flat_end;
        if (i + 1 < count) {
            const float next_width = border(view, i + 2) - border(view, i + 1);
            const float blend_end = x_of(border(view, i + 1) + next_width * blend);
            paint.gradient_across({x, run.y0, blend_end, run.y1}, colour, tone_colour(view, i + 1));
            x = blend_end;
        }
    }
}

void draw_light_and_edges(Ui& ui, const Rect& r, const Rect& run, const StripView& view, float lit_to) {
    Painter& paint = ui.paint();
    const auto& shape = ui.look().strip;
    const float from = view.bare_end ? std::round(r.x0 + r.h() * shape.chamfer) : r.x0;
    const float sheen = std::max(paint.px(1), std::round(r.h() * shape.sheen_height));
    const float shade = std::max(paint.px(1), std::round(r.h() * shape.shade_height));
    paint.fill({from, r.y0, lit_to, r.y0 + sheen}, Colour{255, 255, 255, 255}.faded(shape.sheen_alpha));
    paint.fill({from, r.y1 - shade, r.x1, r.y1}, Colour{0, 0, 0, 255}.faded(shape.shade_alpha));
    if (r.h() >= ui.em(1.25F)) {
        for (int i = 1; i < tone_count(view); ++i) {
            const float x = run.x0 + run.w() * border(view, i);
            paint.fill({std::round(x), r.y0, std::round(x) + paint.px(1), r.y1},
                       Colour{0, 0, 0, 255}.faded(shape.tick_alpha));
        }
    }
    paint.outline(run, ui.colour(Role::edge).faded(0.55F), paint.px(1));
}

void draw_pin(Ui& ui, const Rect& r, float x, StripSize size) {
    Painter& paint = ui.paint();
    const Colour ink = ui.colour(Role::ink);
    const Colour shadow = Colour{0, 0, 0, 255}.faded(ui.theme().dark ? 0.45F : 0.25F);
    x = std::round(x);
    if (size == StripSize::row) {
        const float w = paint.px(2);
        const float half = std::round(w * 0.5F);
        paint.fill({x - half - paint.px(1), r.y0, x + w - half + paint.px(1), r.y1}, shadow);
        paint.fill({x - half, r.y0 - paint.px(1), x - half + w, r.y1}, ink);
        const float mid = x - half + w * 0.5F;
        const float wide = paint.fine(5);
        const std::array<Vec2, 3> arrow{Vec2{mid, r.y0 - paint.fine(0.5F)}, Vec2{mid - wide, r.y0 - paint.fine(8.5F)},
                                        Vec2{mid + wide, r.y0 - paint.fine(8.5F)}};
        paint.polygon(arrow, ink);
        return;
    }
    const bool bench = size == StripSize::bench;
    const float w = paint.px(bench ? 4 : 3);
    const float left = x - std::floor(w * 0.5F);
    const float above = ui.em(bench ? 1.125F : 0.4375F);
    const float below = ui.em(bench ? 0.75F : 0.25F);
    const float key = paint.px(bench ? 2 : 1);
    paint.fill({left - key, r.y0 - above, left + w + key, r.y1 + below + key * 0.5F}, shadow, w * 0.5F);
    paint.fill({left, r.y0 - above, left + w, r.y1 + below}, ink, w * 0.5F);
    const float radius = paint.fine(bench ? 9 : 5.5F);
    const Vec2 head{left + w * 0.5F, r.y0 - above - (bench ? paint.fine(2) : radius * 0.8F)};
    paint.circle(head, radius + paint.fine(bench ? 1.5F : 1), paint.surface());
    paint.circle(head, radius, ink);
}

void draw_look(Ui& ui, const Rect& r, float x, bool with_words) {
    Painter& paint = ui.paint();
    const Colour brass = ui.colour(Role::look);
    x = std::round(x) + 0.5F * std::fmod(paint.px(2), 2.0F);
    const std::array<Vec2, 2> down{Vec2{x, r.y0 - ui.em(0.5F)}, Vec2{x, r.y1 + ui.em(0.5F)}};
    paint.dashed(down, brass, paint.fine(2.8F), paint.fine(1), paint.fine(7), true);
    if (with_words) {
        draw_mark(ui, Mark::look, {x, r.y0 - ui.em(1.375F)}, ui.em(0.5625F));
        paint.text(Type::strong, brass, {x, r.y0 - ui.em(2.375F)}, "look", Align::centre);
    }
}

// Where the words of the tones stand (their middles) in one type: under their tones, drawn apart a little where they
// would touch; nothing when that is not enough.
std::optional<std::vector<float>> place_words(const Ui& ui, const Rect& run, const StripView& view, Type type) {
    std::vector<float> home;
    std::vector<float> half;
    for (int i = 0; i < tone_count(view); ++i) {
        home.push_back(run.x0 + run.w() * (border(view, i) + border(view, i + 1)) * 0.5F);
        half.push_back(ui.paint().text_width(type, view.scale->tones[static_cast<std::size_t>(i)].word) * 0.5F);
    }
    const float gap = ui.em(0.5F);
    const float most = ui.em(0.5F);
    std::vector<float> x = home;
    for (int round = 0; round < 12; ++round) {
        for (std::size_t i = 1; i < x.size(); ++i) {
            const float lack = gap - (x[i] - half[i] - x[i - 1] - half[i - 1]);
            if (lack > 0) {
                x[i - 1] = std::max(x[i - 1] - lack * 0.5F, home[i - 1] - most);
                x[i] = std::min(x[i] + lack * 0.5F, home[i] + most);
            }
        }
    }
    for (std::size_t i = 1; i < x.size(); ++i) {
        if (x[i] - half[i] - x[i - 1] - half[i - 1] < gap * 0.75F) {
            return std::nullopt;
        }
    }
    return x;
}

void draw_words(Ui& ui, const Rect& run, const StripView& view, StripSize size) {
    const std::array<Type, 4> types{Type::lead, Type::body, Type::label, Type::small};
    Type type = Type::small;
    std::optional<std::vector<float>> places;
    for (std::size_t t = size == StripSize::bench ? 0 : 2; t < types.size() && !places; ++t) {
        type = types[t];
        places = place_words(ui, run, view, type);
    }
    int bright = view.bright_word;
    if (bright < 0) {
        bright = view.pin                                               ? view.pin->tone
                 : view.aim && view.aim->from.tone == view.aim->to.tone ? view.aim->from.tone
                                                                        : -1;
    }
    const bool bracketed = view.aim || view.may_land;
    const float below = size == StripSize::bench ? ui.em(1.875F) : ui.em(bracketed ? 1.0F : 0.5F);
    const float baseline = std::round(run.y1 + below + ui.em(size == StripSize::bench ? 1.125F : 0.75F));
    float row_end[2] = {run.x0 - 1e6F, run.x0 - 1e6F};
    for (int i = 0; i < tone_count(view); ++i) {
        const auto index = static_cast<std::size_t>(i);
        const auto& word = view.scale->tones[index].word;
        const float x = places ? (*places)[index] : run.x0 + run.w() * (border(view, i) + border(view, i + 1)) * 0.5F;
        const float half = ui.paint().text_width(type, word) * 0.5F;
        const int row = places ? 0 : i % 2;
        if (!places && x - half < row_end[row] + ui.em(0.375F)) {
            continue;  // no room: the strip itself still shows it
        }
        row_end[row] = x + half;
        ui.paint().text(type, ui.colour(i == bright ? Role::ink : Role::text),
                        {x, baseline + static_cast<float>(row) * ui.em(1)}, word, Align::centre);
    }
}

StripTouch touch_strip(Ui& ui, const Rect& r, const Rect& run, const StripView& view) {
    StripTouch out;
    const float least = ui.em(ui.look().target.pointer);
    const Rect place = r.h() >= least ? r : Rect{r.x0, r.mid_y() - least * 0.5F, r.x1, r.mid_y() + least * 0.5F};
    const Touch touch = ui.touch(view.id, place, Focusable::yes);
    float& at = ui.memory(view.id, view.pin ? static_cast<float>(view.pin->tone) + view.pin->share : 0.5F);
    const auto last = static_cast<float>(tone_count(view)) - 0.02F;
    if (touch.focused) {
        at += ui.pressed(Key::right) ? 1.0F : ui.pressed(Key::right, kShift) ? 0.1F : 0.0F;
        at -= ui.pressed(Key::left) ? 1.0F : ui.pressed(Key::left, kShift) ? 0.1F : 0.0F;
        at = std::clamp(at, 0.02F, last);
    }
    if (touch.clicked) {
        const TonePlace place_hit = strip_place(ui, r, view, touch.at.x);
        at = static_cast<float>(place_hit.tone) + place_hit.share;
        out.clicked = true;
    }
    out.activated = touch.activated && !touch.clicked;
    out.place = {static_cast<int>(at), at - std::floor(at)};
    if (touch.ring) {
        ui.draw_focus_ring(r, 0);
        const float x = std::round(run.x0 + run.w() * place_share(view, out.place));
        const float half = ui.paint().fine(6);
        const std::array<Vec2, 3> arrow{Vec2{x, r.y1 + half * 0.5F}, Vec2{x + half, r.y1 + half * 2},
                                        Vec2{x - half, r.y1 + half * 2}};
        ui.paint().polygon(arrow, ui.colour(Role::copper));
    }
    return out;
}

std::string value_words(const StripView& view) {
    std::string out;
    const auto add = [&out](std::string part) { out += (out.empty() ? "" : "; ") + std::move(part); };
    if (view.pin) {
        add(fmt::format("{} {}", view.pin_is_film ? "film at" : "at",
                        view.scale->tones[static_cast<std::size_t>(view.pin->tone)].word));
    }
    if (view.aim) {
        add("aim " + span_words(*view.scale, *view.aim));
    }
    if (view.may_land) {
        add("may land " + span_words(*view.scale, *view.may_land));
    }
    if (view.look) {
        add("look at " + view.scale->tones[static_cast<std::size_t>(view.look->tone)].word);
    }
    return out.empty() ? "not known" : out;
}

}  // namespace

float strip_height(const Ui& ui, StripSize size) {
    const auto& heights = ui.look().strip;
    switch (size) {
        case StripSize::row: return ui.em(heights.height_row);
        case StripSize::small: return ui.em(heights.height_small);
        case StripSize::plan: return ui.em(heights.height_plan);
        case StripSize::bench: break;
    }
    return ui.em(heights.height_bench);
}

float strip_x(const Ui& ui, const Rect& r, const StripView& view, TonePlace place) {
    const Rect run = run_of(ui, r, view);
    return run.x0 + run.w() * place_share(view, place);
}

TonePlace strip_place(const Ui& ui, const Rect& r, const StripView& view, float x) {
    const Rect run = run_of(ui, r, view);
    const float share = std::clamp((x - run.x0) / std::max(1.0F, run.w()), 0.0F, 1.0F);
    int tone = 0;
    while (tone + 1 < tone_count(view) && share >= border(view, tone + 1)) {
        ++tone;
    }
    const float from = border(view, tone);
    const float width = border(view, tone + 1) - from;
    return {tone, width <= 0 ? 0.5F : std::clamp((share - from) / width, 0.0F, 0.999F)};
}

StripTouch tone_strip(Ui& ui, const Rect& place, const StripView& view, StripSize size) {
    Painter& paint = ui.paint();
    const Rect r = Rect{place.x0, place.y0, place.x1, std::min(place.y1, place.y0 + ui.em(20))}.snapped();
    StripView shown = view;
    shown.bare_end = view.bare_end && size != StripSize::row;
    const Rect run = run_of(ui, r, shown);
    if (shown.bare_end) {
        draw_bare_end(ui, r, run, view.scale->bare);
    }
    draw_run(ui, run, shown);
    const Colour cover = ui.colour(Role::well).faded(ui.theme().film_not_yet_alpha);
    float lit_to = r.x1;
    if (view.empty) {
        paint.fill(run, cover);
        const float solid = run.w() * 0.08F;
        paint.fill({run.x0, run.y0, run.x0 + solid, run.y1}, view.scale->bare);
        paint.gradient_across({run.x0 + solid, run.y0, run.x0 + solid * 2, run.y1}, view.scale->bare,
                              view.scale->bare.faded(0));
        lit_to = run.x0;
    } else if (view.pin_is_film && view.pin) {
        lit_to = std::round(run.x0 + run.w() * place_share(shown, *view.pin));
        paint.fill({lit_to, run.y0, run.x1, run.y1}, cover);
    }
    draw_light_and_edges(ui, r, run, shown, lit_to);

    const bool bench = size == StripSize::bench;
    const auto& bracket = ui.look().bracket;
    const Colour copper = ui.colour(Role::copper);
    const float over = ui.em(bench ? bracket.over : size == StripSize::plan ? 0.8125F : 0.625F);
    const std::string name = view.id.empty() ? view.label : view.id;
    if (view.may_land) {
        const float tighten = name.empty() ? 0 : ui.look().motion.bracket_tighten;
        const float x0 = ui.ease(name + "/from", run.x0 + run.w() * place_share(shown, view.may_land->from), tighten);
        const float x1 = ui.ease(name + "/to", run.x0 + run.w() * place_share(shown, view.may_land->to), tighten);
        const float rim = ui.em(bench ? bracket.range_over : size == StripSize::plan ? 0.4375F : 0.375F);
        tone_bracket(ui, x0, x1, r.y0 - rim, r.y1 + rim, ui.em(bench ? 0.625F : 0.5F), bracket.range_stroke_px, copper);
        if (!view.may_land_words.empty() && size != StripSize::row) {
            // Beside its own bracket, and past the foot of the aim's where the two end together.
            const float aim_x1 = view.aim ? run.x0 + run.w() * place_share(shown, view.aim->to) + ui.em(0.375F) : x1;
            paint.text(Type::label, ui.colour(Role::text),
                       {std::max(x1, std::abs(aim_x1 - x1) < ui.em(3.0F) ? aim_x1 : x1) + ui.em(0.125F), r.y0 - rim - ui.em(0.375F)},
                       view.may_land_words);
        }
    }
    if (view.aim) {
        const float x0 = run.x0 + run.w() * place_share(shown, view.aim->from);
        const float x1 = run.x0 + run.w() * place_share(shown, view.aim->to);
        tone_bracket(ui, x0, x1, r.y0 - over, r.y1 + over,
                     ui.em(bench                     ? bracket.foot
                           : size == StripSize::plan ? 1.0F
                                                     : 0.5625F),
                     bench ? ui.look().stroke.bracket_bench : ui.look().stroke.bracket, copper);
        if (!view.aim_word.empty() && size != StripSize::row) {
            paint.text(Type::strong, copper, {(x0 + x1) * 0.5F, r.y0 - over - ui.em(bench ? 0.875F : 0.5F)},
                       view.aim_word, Align::centre);
        }
    }
    if (view.look && view.look_line) {
        draw_look(ui, r, run.x0 + run.w() * place_share(shown, *view.look), size != StripSize::row && view.words);
    }
    for (const TonePlace mate : view.mates) {
        const Vec2 dot{std::round(run.x0 + run.w() * place_share(shown, mate)), r.y1 - ui.em(0.625F)};
        paint.circle(dot, paint.fine(4.2F), Colour{0, 0, 0, 255}.faded(0.55F));
        paint.circle(dot, paint.fine(3.4F), Colour{255, 255, 255, 255});
    }
    if (view.pin) {
        const float x = run.x0 + run.w() * place_share(shown, *view.pin);
        draw_pin(ui, r, x, size);
        if (!view.pin_words.empty() && size != StripSize::row) {
            const float head = r.y0 - ui.em(bench ? 1.25F : 0.75F);
            paint.text(Type::label, ui.colour(Role::ink),
                       {x + ui.em(0.75F), std::round(head + ui.fonts()[Type::label].cap_px * 0.5F)}, view.pin_words);
        }
    }
    if (view.words && r.h() >= ui.em(ui.look().strip.words_from_height)) {
        draw_words(ui, run, shown, size);
    }
    StripTouch out;
    if (!view.id.empty()) {
        out = touch_strip(ui, r, run, shown);
    }
    if (!name.empty()) {
        const float least = ui.em(ui.look().target.pointer);
        const float grow = std::max(0.0F, (least - r.h()) * 0.5F);
        ui.report(name, {.kind = "strip",
                         .label = view.label,
                         .value = value_words(view),
                         .rect = view.id.empty() ? r : r.shrunk(0, -grow),
                         .fg = ui.colour(Role::text),
                         .bg = paint.surface(),
                         .interactive = !view.id.empty()});
    }
    return out;
}

}  // namespace tonebath::window
