#include "window/panels/planning_block.hpp"

#include "window/widgets/blocks.hpp"

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr float kLine_em = 1.5F;

// Columns of a row: even, but the last one of three takes what is left.
std::vector<Rect> cells_of(const Rect& row, std::size_t columns, float gap) {
    if (columns != 3) {
        return row.columns(static_cast<int>(columns), gap);
    }
    const std::vector<Rect> parts = row.columns(4, gap);
    return {parts[0], parts[1], Rect{parts[2].x0, row.y0, row.x1, row.y1}};
}

std::vector<std::vector<std::string>> wrapped(const Ui& ui, const std::vector<Rect>& places, const app::PlanningRow& row) {
    std::vector<std::vector<std::string>> lines;
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
        lines.push_back(ui.paint().wrap(Type::label, places[i].w(), row.cells[i]));
    }
    return lines;
}

float height_of(const Ui& ui, const std::vector<std::vector<std::string>>& lines) {
    std::size_t most = 1;
    for (const auto& one : lines) {
        most = std::max(most, one.size());
    }
    return ui.em(kLine_em * static_cast<float>(most) + 0.25F);
}

}  // namespace

void planning_block(Ui& ui, const Rect& r, std::string_view id, const app::PlanningView& view, ScrollState& scroll) {
    Rect card = begin_card(ui, r);
    section_head(ui, card, card.y0 + ui.em(0.75F), view.head, view.note);
    card.cut_top(ui.em(1.75F));
    Painter& paint = ui.paint();
    const float gap = ui.em(0.75F);
    // The height first: words and cells are wrapped to the card.
    const Rect row_like{card.x0, 0.0F, card.x1, ui.em(kLine_em)};
    const std::vector<Rect> places = view.columns.empty() ? std::vector<Rect>{} : cells_of(row_like, view.columns.size(), gap);
    float height = ui.em(1.0F);
    for (const std::string& words : view.words) {
        height += ui.em(kLine_em) * static_cast<float>(paint.wrap(Type::body, card.w(), words).size()) + ui.em(0.25F);
    }
    height += view.columns.empty() ? 0.0F : ui.em(kLine_em + 0.5F);
    std::vector<std::vector<std::vector<std::string>>> rows;
    for (const app::PlanningRow& row : view.rows) {
        rows.push_back(wrapped(ui, places, row));
        height += height_of(ui, rows.back());
    }
    const Rect content = begin_scroll(ui, id, card, height, scroll);
    float y = content.y0 + ui.em(1.0F);
    for (const std::string& words : view.words) {
        for (const std::string& line : paint.wrap(Type::body, card.w(), words)) {
            paint.text(Type::body, ui.colour(Role::text), {content.x0, y}, line);
            y += ui.em(kLine_em);
        }
        y += ui.em(0.25F);
    }
    for (std::size_t i = 0; i < places.size(); ++i) {
        paint.text(Type::label, ui.colour(Role::quiet), {places[i].x0, y}, view.columns[i]);
    }
    y += places.empty() ? 0.0F : ui.em(kLine_em + 0.25F);
    for (std::size_t r_at = 0; r_at < rows.size(); ++r_at) {
        const bool strong = view.rows[r_at].strong;
        for (std::size_t i = 0; i < places.size(); ++i) {
            float line_y = y;
            for (const std::string& line : rows[r_at][i]) {
                paint.text(strong || i == 0 ? Type::strong : Type::label, ui.colour(strong ? Role::copper : Role::ink), {places[i].x0, line_y}, line);
                line_y += ui.em(kLine_em);
            }
        }
        y += height_of(ui, rows[r_at]);
    }
    end_scroll(ui);
    end_card(ui);
}

}  // namespace tonebath::window
