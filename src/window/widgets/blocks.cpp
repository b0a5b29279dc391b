#include "window/widgets/blocks.hpp"

#include "window/widgets/rail.hpp"

#include <array>
#include <cmath>

namespace tonebath::window {

Rect begin_card(Ui& ui, const Rect& place, Role fill, float pad_em) {
    const Rect r = place.snapped();
    ui.paint().fill(r, ui.colour(fill), ui.em(ui.look().radius.slab));
    ui.paint().push_surface(ui.colour(fill));
    return r.shrunk(ui.em(pad_em));
}

void end_card(Ui& ui) {
    ui.paint().pop_surface();
}

void words_card(Ui& ui, const Rect& r, std::string_view words) {
    const Rect card = begin_card(ui, r);
    ui.paint().text_wrapped(Type::body, ui.colour(Role::text), {card.x0, card.y0 + ui.em(1.125F)}, card.w(), words);
    end_card(ui);
}

void divider(Ui& ui, float x0, float x1, float y) {
    ui.paint().hline(x0, x1, y, ui.colour(Role::line), ui.look().stroke.hair);
}

void upright_divider(Ui& ui, float x, float y0, float y1) {
    ui.paint().vline(x, y0, y1, ui.colour(Role::line), ui.look().stroke.hair);
}

void section_head(Ui& ui, const Rect& r, float baseline, std::string_view words, std::string_view note,
                  bool note_right) {
    Painter& paint = ui.paint();
    const float width = paint.text(Type::leads, ui.colour(Role::ink), {r.x0, baseline}, words);
    if (note_right) {
        paint.text(Type::label, ui.colour(Role::quiet), {r.x1, baseline}, note, Align::right);
    } else {
        paint.text(Type::label, ui.colour(Role::quiet), {r.x0 + width + ui.em(1), baseline}, note);
    }
}

float page_head(Ui& ui, float x, float baseline, std::string_view words, std::string_view lead) {
    Painter& paint = ui.paint();
    x += paint.text(Type::title, ui.colour(Role::ink), {x, baseline}, words);
    if (!lead.empty()) {
        x += ui.em(1.125F);
        x += paint.text(Type::lead, ui.colour(Role::text), {x, baseline}, lead);
    }
    return x;
}

bool empty_state(Ui& ui, const Rect& place, const EmptyView& view) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope(view.id);
    const Rect r = place.snapped();
    StripView strip;
    strip.scale = view.scale;
    strip.empty = true;
    strip.words = false;
    strip.label = view.fact;
    const float height = strip_height(ui, StripSize::small);
    const bool beside = r.w() > ui.em(30);
    const float strip_w = beside ? std::min(r.w() * 0.52F, ui.em(30)) : r.w();
    tone_strip(ui, Rect::at(r.x0, r.y0, strip_w, height), strip, StripSize::small);
    const float x = beside ? r.x0 + strip_w + ui.em(1.5F) : r.x0;
    const float y = beside ? r.y0 + ui.em(0.6875F) : r.y0 + height + ui.em(1.75F);
    paint.text(Type::strong, ui.colour(Role::ink), {x, y}, view.fact);
    paint.text(Type::label, ui.colour(Role::text), {x, y + ui.em(1.3125F)}, view.todo);
    if (view.button.empty()) {
        return false;
    }
    const Rect button = Rect::at(x, y + ui.em(2.25F), button_width(ui, view.button, view.key), ui.em(2.75F));
    return view.copper ? button_do(ui, "begin", button, view.button, view.key)
                       : button_plain(ui, "begin", button, view.button, view.key);
}

namespace {

// Between the rail and the foot: the sheet's own hints are drawn there while it lives.
Rect covered_by_sheet(const Ui& ui) {
    return {ui.screen().x0, ui.screen().y0 + ui.em(4.25F), ui.screen().x1, foot_rect(ui).y0};
}

}  // namespace

Sheet::Sheet(Ui& ui, std::string_view id, std::string_view label, float hung_from_x)
    : ui_(ui), layer_(ui, true, covered_by_sheet(ui)), scope_(ui, id) {
    Painter& paint = ui.paint();
    const Rect r = page_rect(ui);
    paint.fill(covered_by_sheet(ui), ui.colour(Role::ground));
    const float cut = ui.em(1);
    const std::array<Vec2, 6> slab{Vec2{r.x0 + cut, r.y0}, Vec2{r.x1 - cut, r.y0}, Vec2{r.x1, r.y0 + cut},
                                   Vec2{r.x1, r.y1},       Vec2{r.x0, r.y1},       Vec2{r.x0, r.y0 + cut}};
    paint.polygon(slab, ui.colour(Role::slab));
    const float half = paint.px(1) * 0.5F;
    const std::array<Vec2, 6> rim{Vec2{r.x0 + cut, r.y0 + half},  Vec2{r.x1 - cut, r.y0 + half},
                                  Vec2{r.x1 - half, r.y0 + cut},  Vec2{r.x1 - half, r.y1 - half},
                                  Vec2{r.x0 + half, r.y1 - half}, Vec2{r.x0 + half, r.y0 + cut}};
    paint.polyline(rim, ui.colour(Role::line), paint.px(1), true);
    const float hook_y = r.y0 + ui.em(0.6875F);
    wire_down(ui, hung_from_x, ui.screen().y0 + ui.em(4.125F), hook_y);
    paint.circle({hung_from_x, hook_y}, paint.fine(5), ui.colour(Role::line));
    paint.circle({hung_from_x, hook_y}, paint.fine(4), ui.colour(Role::ground));
    paint.push_surface(ui.colour(Role::slab));
    inside_ = r.shrunk(ui.em(1.5F), ui.em(1.25F));
    closed_ = ui.pressed(Key::esc);
    ui.report("hanging sheet", {.kind = "sheet",
                        .label = std::string(label),
                        .key = "Esc",
                        .rect = r,
                        .fg = ui.colour(Role::ink),
                        .bg = ui.colour(Role::slab),
                        .interactive = false});
}

Sheet::~Sheet() {
    ui_.paint().pop_surface();
}

float fact_lines(Ui& ui, const Rect& r, const std::vector<Fact>& facts, float line_em) {
    Painter& paint = ui.paint();
    float y = r.y0 + ui.em(1);
    for (const Fact& fact : facts) {
        const float value = paint.text_width(Type::label, fact.value);
        paint.text(Type::label, ui.colour(Role::text), {r.x0, y},
                   paint.ellipsis(Type::label, std::max(ui.em(2), r.w() - value - ui.em(0.75F)), fact.name));
        paint.text(Type::label, ui.colour(Role::quiet), {r.x1, y}, fact.value, Align::right);
        y += ui.em(line_em);
    }
    return y - ui.em(1) - r.y0;
}

}  // namespace tonebath::window
