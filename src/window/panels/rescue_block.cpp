#include "window/panels/rescue_block.hpp"

#include "window/widgets/blocks.hpp"
#include "window/widgets/marks.hpp"

namespace tonebath::window {

namespace {

constexpr float kLine_em = 1.4375F;

Mark mark_of(app::RescueState state) {
    switch (state) {
        case app::RescueState::open: return Mark::done;
        case app::RescueState::careful: return Mark::look;
        case app::RescueState::ask: return Mark::ask;
        case app::RescueState::closed: break;
    }
    return Mark::stop;
}

// Draws, or only measures: both walk the same lines.
float walk(Ui& ui, const Rect& r, const app::RescueView& view, bool paint_it) {
    Painter& paint = ui.paint();
    float y = r.y0;
    const auto lines = [&](Type type, Role role, float x0, const std::string& text) {
        for (const std::string& line : paint.wrap(type, r.x1 - x0, text)) {
            y += ui.em(kLine_em);
            if (paint_it) {
                paint.text(type, ui.colour(role), {x0, y - ui.em(0.375F)}, line);
            }
        }
    };
    for (const std::string& words : view.words) {
        lines(Type::body, Role::text, r.x0, words);
    }
    const float inner = r.x0 + ui.em(1.75F);
    for (const app::RescueRow& row : view.rows) {
        y += ui.em(0.5F);
        if (paint_it) {
            divider(ui, r.x0, r.x1, y);
            draw_mark(ui, mark_of(row.state), {r.x0 + ui.em(0.625F), y + ui.em(1.0F)}, ui.em(0.5625F));
            paint.text(Type::strong, ui.colour(Role::ink), {inner, y + ui.em(1.3125F)}, row.name);
            paint.text(Type::label, ui.colour(Role::text), {r.x1, y + ui.em(1.3125F)}, row.state_word, Align::right);
        }
        y += ui.em(1.75F);
        for (const std::string& words : row.words) {
            lines(Type::label, Role::ink, inner, words);
        }
        lines(Type::label, Role::quiet, inner, row.source);
    }
    return y - r.y0 + ui.em(0.5F);
}

}  // namespace

void rescue_block(Ui& ui, const Rect& r, const app::RescueView& view, ScrollState& scroll) {
    Rect card = begin_card(ui, r);
    section_head(ui, card, card.y0 + ui.em(0.75F), "What can still be done", view.note);
    card.cut_top(ui.em(1.75F));
    // As narrow as beside a scroll bar, so that the height is that of what is drawn.
    const Rect measured{card.x0, card.y0, card.x1 - ui.em(1.0F), card.y1};
    const Rect content = begin_scroll(ui, "rescue", card, walk(ui, measured, view, false), scroll);
    static_cast<void>(walk(ui, {content.x0, content.y0, measured.x1, content.y1}, view, true));
    end_scroll(ui);
    end_card(ui);
}

}  // namespace tonebath::window
