#include "window/panels/first_steps.hpp"

#include "window/widgets/blocks.hpp"
#include "window/widgets/rail.hpp"
#include "window/widgets/strip.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace tonebath::window {

namespace {

struct Step {
    std::string_view head;
    std::array<std::string_view, 2> lines;
};
constexpr std::array<Step, 3> kSteps{{{"Write down the jar", {"Dry lump, gel or liquid;", "how much, and when opened."}},
                                      {"Check the room", {"Air, eyes, hands, no acid near;", "your own emergency numbers."}},
                                      {"Dip three strips", {"20, 40 and 80 s, of your metal.", "Judge each against the words."}}}};

// A paper or slate tag hung from the wire.
void step_tag(Ui& ui, const Rect& r, int number, const Step& step, bool paper) {
    const float q = ui.em(0.875F);
    const std::array<Vec2, 6> shape{Vec2{r.x0 + q, r.y0}, Vec2{r.x1 - q, r.y0}, Vec2{r.x1, r.y0 + q}, Vec2{r.x1, r.y1}, Vec2{r.x0, r.y1}, Vec2{r.x0, r.y0 + q}};
    Painter& paint = ui.paint();
    paint.polygon(shape, ui.colour(paper ? Role::paper : Role::slab));
    if (!paper) {
        paint.polyline(shape, ui.colour(Role::line), paint.fine(1.2F), true);
    }
    paint.push_surface(ui.colour(paper ? Role::paper : Role::slab));
    paint.circle({r.x0 + ui.em(2.75F), r.y0 + ui.em(0.875F)}, ui.em(0.25F), ui.colour(Role::ground));
    paint.text(Type::title, ui.colour(paper ? Role::paper_ink : Role::quiet), {r.x0 + ui.em(1.5F), r.y0 + ui.em(4.0F)}, std::to_string(number));
    paint.text(Type::leads, ui.colour(paper ? Role::paper_ink : Role::ink), {r.x0 + ui.em(3.375F), r.y0 + ui.em(3.9F)}, step.head);
    for (std::size_t i = 0; i < step.lines.size(); ++i) {
        paint.text(Type::body, ui.colour(paper ? Role::paper_quiet : Role::text),
                   {r.x0 + ui.em(3.375F), r.y0 + ui.em(5.75F + 1.5F * static_cast<float>(i))},
                   paint.ellipsis(Type::body, r.w() - ui.em(4.0F), step.lines[i]));
    }
    paint.pop_surface();
}

}  // namespace

void first_steps(Ui& ui, const Rect& page, const Glance& glance, Wishes& wishes) {
    Rect place = page;
    const float side = ui.width() == Width::narrow ? 0.0F : ui.em(5.0F);
    place.x0 += side;
    place.x1 -= side;
    Painter& paint = ui.paint();
    // A low window takes the air between the parts, never a part.
    const float air = std::clamp((place.h() / ui.em(1.0F) - 33.5F) / 5.5F, 0.0F, 1.0F);
    const auto between = [&](float least_em, float most_em) { return ui.em(least_em + air * (most_em - least_em)); };
    paint.text(Type::figure, ui.colour(Role::ink), {page.mid_x(), place.y0 + between(2.75F, 4.75F)}, "Nothing is known about your jar yet.", Align::centre);
    paint.text(Type::lead, ui.colour(Role::text), {page.mid_x(), place.y0 + between(5.0F, 7.25F)},
               "Three strips are enough to begin. Until then every time is a wide guess, and says so.", Align::centre);
    const float strip_y = place.y0 + between(8.0F, 11.0F);
    const DrawnScale& silver = ui.look().silver;
    const StripView view{.scale = &silver,
                         .may_land = ToneSpan{{silver.index_of("straw"), 0.05F}, {silver.index_of("black"), 0.85F}},
                         .empty = true,
                         .label = "Nothing known yet: anywhere from straw to black"};
    tone_strip(ui, Rect::at(place.x0, strip_y, place.w(), strip_height(ui, StripSize::bench)), view, StripSize::bench);
    paint.text(Type::strong, ui.colour(Role::copper), {page.mid_x(), strip_y - ui.em(1.25F)},
               "40 s in a jar nobody has tried: anywhere from straw to black", Align::centre);

    const float wire_y = strip_y + between(10.25F, 11.5F);
    wire_across(ui, place.x0, place.x1, wire_y);
    const std::vector<Rect> columns = place.columns(3, ui.em(2.0F));
    for (std::size_t i = 0; i < kSteps.size(); ++i) {
        wire_down(ui, columns[i].x0 + ui.em(2.75F), wire_y, wire_y + ui.em(1.625F));
        step_tag(ui, {columns[i].x0, wire_y + ui.em(1.625F), columns[i].x1, wire_y + ui.em(10.75F)}, static_cast<int>(i) + 1, kSteps[i], i == 0);
    }
    const float button_y = wire_y + between(11.5F, 12.25F);
    const auto button_place = [&](std::size_t i) { return Rect{columns[i].x0, button_y, columns[i].x1, button_y + between(3.25F, 4.0F)}; };
    const ButtonStyle big{.type = Type::leads};
    if (glance.read_only) {
        button_plain(ui, "lot.add", button_place(0), "Add the first jar", Key::enter, {.refused = "another window writes", .type = Type::leads});
    } else if (button_do(ui, "lot.add", button_place(0), "Add the first jar", Key::enter, big)) {
        wishes.add(WishSheet{.action = "lot.add"});
    }
    if (button_plain(ui, "demo", button_place(1), "Look round the demo", Key::d, big)) {
        wishes.add(WishDemo{.open = true});
    }
    if (button_plain(ui, "emergency-numbers", button_place(2), "Your emergency numbers", Key::n, big)) {
        wishes.add(WishSheet{.action = "studio.emergency-numbers"});
    }
}

}  // namespace tonebath::window
