#include "window/widgets/rail.hpp"

#include <array>
#include <cmath>

namespace tonebath::window {

namespace {

struct RailPlaces {
    float first = 0;
    float width = 0;
    float pitch = 0;
};

RailPlaces places_of(const Ui& ui) {
    const float left = ui.screen().x0;
    if (ui.width() == Width::narrow) {
        return {left + ui.em(5.25F), ui.em(5.5F), ui.em(5.8125F)};
    }
    return {left + ui.em(9.375F), ui.em(6.1875F), ui.em(6.5F)};
}

float wire_mid(const Ui& ui) {
    return ui.screen().y0 + ui.em(1.375F);
}

void draw_loop(Ui& ui, LoopArc lit) {
    Painter& paint = ui.paint();
    const Vec2 centre{ui.screen().x0 + ui.em(3.125F), ui.screen().y0 + ui.em(2.75F)};
    const float radius = paint.fine(17);
    for (int i = 0; i < 4; ++i) {
        const bool on = i == static_cast<int>(lit);
        const float from = -90.0F + 90.0F * static_cast<float>(i) + 9;
        paint.arc(centre, radius, from, from + 72, ui.colour(on ? Role::copper : Role::line), paint.fine(on ? 6 : 4));
    }
    paint.ring({centre.x, wire_mid(ui)}, paint.fine(5), ui.colour(Role::wire), paint.fine(2.2F));
    if (ui.width() != Width::narrow) {
        paint.text(Type::strong, ui.colour(Role::copper),
                   {ui.screen().x0 + ui.em(4.875F), ui.screen().y0 + ui.em(3.1875F)}, loop_word(lit));
    }
}

}  // namespace

std::string_view loop_word(LoopArc arc) {
    constexpr std::array<std::string_view, 4> kWords{"Record", "Learn", "Plan", "Dip"};
    return kWords[static_cast<std::size_t>(arc)];
}

void wire_across(Ui& ui, float x0, float x1, float mid_y) {
    Painter& paint = ui.paint();
    const float thick = paint.px(ui.look().stroke.wire);
    const float top = std::round(mid_y - thick * 0.5F);
    paint.fill({x0, top, x1, top + thick}, ui.colour(Role::wire));
    paint.fill({x0, top, x1, top + paint.px(1)}, ui.colour(Role::wire_light).faded(0.8F));
}

void wire_down(Ui& ui, float mid_x, float y0, float y1, float thickness_px) {
    const float thick = ui.paint().px(thickness_px);
    const float left = std::round(mid_x - thick * 0.5F);
    ui.paint().fill({left, y0, left + thick, y1}, ui.colour(Role::wire));
}

float rail_tag_x(const Ui& ui, int page) {
    const RailPlaces places = places_of(ui);
    return std::round(places.first + places.pitch * static_cast<float>(page) + places.width * 0.5F);
}

RailResult rail(Ui& ui, const RailView& view) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope("rail");
    RailResult out;
    const Rect screen = ui.screen();
    wire_across(ui, screen.x0, screen.x1, wire_mid(ui));
    draw_loop(ui, view.arc);
    const RailPlaces places = places_of(ui);
    const float top = screen.y0 + ui.em(0.75F);
    const float q = ui.em(0.625F);
    for (int i = 0; i < static_cast<int>(view.pages.size()); ++i) {
        const std::string& name = view.pages[static_cast<std::size_t>(i)];
        const bool chosen = i == view.chosen;
        const std::string id = "page " + std::to_string(i + 1);
        const float drop = ui.ease(id, chosen ? 1.0F : 0.0F, ui.look().motion.tag_drop);
        const float x = std::round(places.first + places.pitch * static_cast<float>(i));
        const Rect r{x, top, x + places.width, std::round(screen.y0 + ui.em(3.625F) + ui.em(0.5F) * drop)};
        const Touch touch = ui.touch(id, r);
        const std::array<Vec2, 6> shape{Vec2{r.x0 + q, r.y0}, Vec2{r.x1 - q, r.y0}, Vec2{r.x1, r.y0 + q},
                                        Vec2{r.x1, r.y1},     Vec2{r.x0, r.y1},     Vec2{r.x0, r.y0 + q}};
        const Colour bg = ui.colour(chosen ? Role::paper : Role::slab);
        paint.polygon(shape, bg);
        if (!chosen || !ui.theme().dark) {
            const float half = paint.px(1) * 0.5F;
            const std::array<Vec2, 6> rim{Vec2{r.x0 + q, r.y0 + half},    Vec2{r.x1 - q, r.y0 + half},
                                          Vec2{r.x1 - half, r.y0 + q},    Vec2{r.x1 - half, r.y1 - half},
                                          Vec2{r.x0 + half, r.y1 - half}, Vec2{r.x0 + half, r.y0 + q}};
            paint.polyline(rim,
                           ui.colour(chosen          ? Role::paper_line
                                     : touch.hovered ? Role::edge
                                                     : Role::line),
                           paint.px(ui.look().stroke.outline), true);
        }
        const Vec2 hole{rail_tag_x(ui, i), wire_mid(ui)};
        paint.circle(hole, paint.fine(5), ui.colour(chosen ? Role::paper_line : Role::line));
        paint.circle(hole, paint.fine(4), ui.colour(Role::ground));
        wire_across(ui, r.x0 - ui.em(0.3125F), hole.x, wire_mid(ui));
        paint.push_surface(bg);
        const std::string digit = std::to_string(i + 1);
        const float digit_w = paint.text_width(Type::small, digit);
        const float gap = ui.em(0.375F);
        const float wide = digit_w + gap + paint.text_width(Type::strong, name);
        const float words_x = std::round(r.mid_x() - wide * 0.5F);
        const float baseline = r.y1 - ui.em(0.6875F);
        paint.text(Type::small, ui.colour(chosen ? Role::paper_quiet : Role::quiet), {words_x, baseline}, digit);
        const Colour ink = ui.colour(chosen ? Role::paper_ink : Role::text);
        paint.text(Type::strong, ink, {words_x + digit_w + gap, baseline}, name);
        paint.pop_surface();
        if (touch.ring) {
            paint.outline(r, ui.colour(Role::copper), paint.px(2), ui.em(0.25F));
        }
        const bool by_key =
            (!view.only_alt && !ui.typing() && ui.pressed(digit_key(i + 1))) || ui.pressed(digit_key(i + 1), kAlt);
        if (touch.activated || by_key) {
            out.page = i;
        }
        ui.report(id, {.kind = "page",
                       .label = name,
                       .value = chosen ? "chosen" : "",
                       .key = view.only_alt ? "Alt " + digit : digit,
                       .rect = r,
                       .fg = ink,
                       .bg = bg});
    }
    const float x1 = screen.x1 - ui.em(ui.look().space.margin);
    const float baseline = screen.y0 + ui.em(3.3125F);
    float taken = paint.text(Type::leads, ui.colour(Role::ink), {x1, baseline}, view.clock, Align::right);
    if (!view.who.empty()) {
        taken += ui.em(1.0F);
        taken += paint.text(Type::strong, ui.colour(Role::copper), {x1 - taken, baseline - ui.em(0.0625F)}, view.who, Align::right);
    }
    if (ui.width() != Width::narrow) {
        const float left = places.first + places.pitch * static_cast<float>(view.pages.size()) + ui.em(0.75F);
        const float right = x1 - taken - ui.em(1.0625F);
        const bool both = !view.fact.empty() && !view.aside.empty();
        const auto line = [&](Role role, float y, std::string_view words) {
            paint.text(Type::label, ui.colour(role), {right, y}, paint.ellipsis(Type::label, std::max(0.0F, right - left), words), Align::right);
        };
        line(Role::text, baseline - ui.em(both ? 0.5F : 0.0625F), view.fact);
        line(both ? Role::quiet : Role::text, baseline + ui.em(both ? 0.8125F : -0.0625F), view.aside);
    }
    return out;
}

Rect page_rect(const Ui& ui) {
    const Rect screen = ui.screen();
    const float margin = ui.em(ui.look().space.margin);
    return {screen.x0 + margin, screen.y0 + ui.em(5.5F), screen.x1 - margin, foot_rect(ui).y0 - ui.em(1.125F)};
}

float dip_band_height(const Ui& ui) {
    return ui.em(4.5F);
}

BenchPress dip_band(Ui& ui, const DipBandView& view) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope("dip");
    const Rect screen = ui.screen();
    const Rect r{screen.x0, screen.y1 - dip_band_height(ui), screen.x1, screen.y1};
    paint.fill(r, ui.colour(Role::raised));
    paint.hline(r.x0, r.x1, r.y0, ui.colour(Role::copper), ui.look().stroke.mark);
    paint.push_surface(ui.colour(Role::raised));
    Rect inside = r.shrunk(ui.em(ui.look().space.margin), 0);
    const Rect tag = number_tag(ui, view.shape, view.tag, inside.x0, r.mid_y(), {.height_em = 2.5F});
    const float key_w = std::max(ui.em(20), button_width(ui, "Space: " + view.key_words, {}, Type::leads));
    const Rect key = inside.cut_right(key_w).shrunk(0, ui.em(0.625F));
    const float seconds_w = paint.text_width(Type::figure, view.seconds);
    const float seconds_x = key.x0 - ui.em(1.5F);
    paint.text(Type::figure, ui.colour(Role::ink),
               {seconds_x, std::round(r.mid_y() + ui.fonts()[Type::figure].cap_px * 0.5F)}, view.seconds, Align::right);
    StripView strip = view.strip;
    strip.words = false;
    const float h = strip_height(ui, StripSize::small);
    tone_strip(ui,
               {tag.x1 + ui.em(1.5F), r.mid_y() - h * 0.5F + ui.em(0.25F), seconds_x - seconds_w - ui.em(1.5F),
                r.mid_y() + h * 0.5F + ui.em(0.25F)},
               strip, StripSize::small);
    BenchPress out;
    if (!ui.typing()) {
        for (const Key k : {Key::space, Key::enter}) {
            if (const auto press = ui.press_everywhere(k); press && !press->repeat) {
                out = {true, press->pressed_s};
            }
        }
        ui.claim_space(true);
    }
    const Touch touch = ui.touch("bench key", key, Focusable::no);
    out.pressed = out.pressed || touch.clicked;
    const Colour bar = ui.colour(touch.held ? Role::held : Role::copper);
    paint.fill(key, bar, ui.em(ui.look().radius.control));
    paint.push_surface(bar);
    paint.text_in(Type::leads, ui.colour(Role::on_copper), key, "Space: " + view.key_words, Align::centre);
    paint.pop_surface();
    paint.pop_surface();
    ui.report("bench key", {.kind = "bench key",
                            .label = "Space: " + view.key_words,
                            .value = view.seconds,
                            .key = "Space",
                            .rect = key,
                            .fg = ui.colour(Role::on_copper),
                            .bg = bar,
                            .bench = true});
    return out;
}

}  // namespace tonebath::window
