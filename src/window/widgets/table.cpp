#include "window/widgets/table.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

Rect begin_scroll(Ui& ui, std::string_view id, const Rect& view, float content_h, ScrollState& state, bool keys) {
    Painter& paint = ui.paint();
    const float most = std::max(0.0F, content_h - view.h());
    state.offset -= ui.take_wheel(view) * ui.em(4);
    if (keys && !ui.typing()) {
        state.offset += ui.pressed(Key::page_down) ? view.h() * 0.9F : 0;
        state.offset -= ui.pressed(Key::page_up) ? view.h() * 0.9F : 0;
    }
    const float thickness = ui.em(0.5F);
    if (most > 0) {
        const Rect track{view.x1 - thickness, view.y0, view.x1, view.y1};
        const float grip_h = std::max(ui.em(2), track.h() * view.h() / content_h);
        const Touch touch = ui.touch(std::string(id) + " scroll", track.grown(ui.em(0.25F)), Focusable::no);
        if (touch.held) {
            const float share = (touch.at.y - track.y0 - grip_h * 0.5F) / std::max(1.0F, track.h() - grip_h);
            state.offset = std::clamp(share, 0.0F, 1.0F) * most;
        }
        state.offset = std::clamp(std::round(state.offset), 0.0F, most);
        const float grip_y = track.y0 + (track.h() - grip_h) * state.offset / most;
        const Rect grip = Rect::at(track.x0, grip_y, thickness, grip_h).shrunk(paint.px(1), 0);
        paint.fill(grip, ui.colour(touch.held || touch.hovered ? Role::edge : Role::line), thickness * 0.5F);
    } else {
        state.offset = 0;
    }
    paint.push_clip(view);
    const float right = most > 0 ? view.x1 - thickness - ui.em(0.5F) : view.x1;
    return Rect{view.x0, view.y0 - state.offset, right, view.y0 - state.offset + content_h};
}

void end_scroll(Ui& ui) {
    ui.paint().pop_clip();
}

namespace {

struct PlacedColumn {
    const Column* column = nullptr;
    float x0 = 0;
    float x1 = 0;
};

std::vector<PlacedColumn> place_columns(const Ui& ui, const TableView& view, float x0, float x1) {
    std::vector<PlacedColumn> out;
    float fixed = 0;
    int flexible = 0;
    for (const Column& column : view.columns) {
        if (column.drop_when_narrow && ui.width() == Width::narrow) {
            continue;
        }
        out.push_back({&column, 0, 0});
        fixed += ui.em(column.width_em);
        flexible += column.width_em <= 0 ? 1 : 0;
    }
    const float share = flexible == 0 ? 0 : std::max(0.0F, x1 - x0 - fixed) / static_cast<float>(flexible);
    float x = x0;
    for (PlacedColumn& placed : out) {
        placed.x0 = std::round(x);
        x += placed.column->width_em <= 0 ? share : ui.em(placed.column->width_em);
        placed.x1 = std::round(std::min(x, x1));
    }
    return out;
}

int row_of(const TableView& view, const std::string& id) {
    for (int i = 0; i < view.row_count; ++i) {
        if (view.row(i).id == id) {
            return i;
        }
    }
    return -1;
}

// Moves the choice by keys; true when it changed.
bool choose_by_keys(Ui& ui, const TableView& view, TableState& state, int page) {
    if (view.row_count == 0) {
        return false;
    }
    int step = 0;
    int to_end = 0;
    step += ui.pressed(Key::down) ? 1 : 0;
    step -= ui.pressed(Key::up) ? 1 : 0;
    step += ui.pressed(Key::page_down) ? page : 0;
    step -= ui.pressed(Key::page_up) ? page : 0;
    to_end += ui.pressed(Key::end) ? 1 : 0;
    to_end -= ui.pressed(Key::home) ? 1 : 0;
    if (step == 0 && to_end == 0) {
        return false;
    }
    const int now = row_of(view, state.chosen);
    int next = now < 0 ? (step < 0 ? view.row_count - 1 : 0) : now + step;
    if (to_end != 0) {
        next = to_end > 0 ? view.row_count - 1 : 0;
    }
    next = std::clamp(next, 0, view.row_count - 1);
    const std::string id = view.row(next).id;
    state.reveal = true;
    return std::exchange(state.chosen, id) != id;
}

}  // namespace

TableResult table(Ui& ui, const Rect& place, const TableView& view, TableState& state) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope(view.id);
    TableResult out;
    Rect r = place.snapped();
    const float row_h = ui.em(std::max(view.row_em, ui.look().target.row));
    const float pad = ui.em(0.75F);
    const Rect head = view.head ? r.cut_top(ui.em(2)) : Rect{r.x0, r.y0, r.x1, r.y0};

    const Touch keys = ui.touch("keys", {r.x0, r.y0, r.x0, r.y0}, Focusable::yes);
    if (keys.focused || (view.arrows_always && !ui.typing())) {
        const int page = std::max(1, static_cast<int>(r.h() / row_h) - 1);
        out.chosen_changed = choose_by_keys(ui, view, state, page);
        if (!state.chosen.empty() && !view.open_words.empty() && !ui.space_claimed() &&
            !ui.focus_ring_elsewhere("keys") && (keys.activated || ui.pressed(Key::enter))) {
            out.opened = state.chosen;
        }
    }
    if (state.reveal) {
        const int chosen = row_of(view, state.chosen);
        if (chosen >= 0) {
            const float top = row_h * static_cast<float>(chosen);
            state.scroll.offset = std::clamp(state.scroll.offset, top + row_h - r.h(), std::max(0.0F, top));
            state.scroll.offset = std::max(0.0F, state.scroll.offset);
        }
        state.reveal = false;
    }
    if (view.row_count == 0) {
        paint.text_in(Type::body, ui.colour(Role::quiet), {r.x0 + pad, r.y0, r.x1, r.y0 + row_h}, view.empty);
    }
    const float content = row_h * static_cast<float>(view.row_count);
    const Rect inside = begin_scroll(ui, "rows", r, content, state.scroll);
    const std::vector<PlacedColumn> columns = place_columns(ui, view, inside.x0 + pad, inside.x1 - pad);
    const int first = std::max(0, static_cast<int>(state.scroll.offset / row_h));
    const int last = std::min(view.row_count, static_cast<int>((state.scroll.offset + r.h()) / row_h) + 1);
    for (int i = first; i < last; ++i) {
        const TableRow row = view.row(i);
        const Rect line = Rect::at(inside.x0, inside.y0 + row_h * static_cast<float>(i), inside.w(), row_h);
        const Rect seen = line.overlap(r);
        const Touch touch = ui.touch(row.id, seen, Focusable::no);
        if (touch.clicked) {
            if (state.chosen == row.id && !view.open_words.empty()) {
                out.opened = row.id;
            }
            out.chosen_changed = out.chosen_changed || state.chosen != row.id;
            state.chosen = row.id;
        }
        const bool chosen = state.chosen == row.id;
        const Colour bg = chosen ? ui.colour(Role::raised) : paint.surface();
        if (!chosen) {
            paint.hline(line.x0, line.x1, line.y1 - paint.px(1), ui.colour(Role::line), ui.look().stroke.hair);
        } else {
            const float radius = ui.em(ui.look().radius.control);
            const Rect box = line.shrunk(0, paint.px(1)).overlap({line.x0, r.y0, line.x1, r.y1});
            paint.fill(box, bg, radius);
            paint.outline(box, ui.colour(Role::copper), paint.px(ui.look().stroke.mark), radius);
        }
        paint.push_surface(bg);
        for (const PlacedColumn& column : columns) {
            view.cell(ui, i, *column.column, {column.x0, line.y0, column.x1, line.y1}, chosen);
        }
        paint.pop_surface();
        if (seen.h() > row_h * 0.6F) {
            ui.report(row.id, {.kind = "row",
                               .label = row.label,
                               .value = chosen ? "chosen" : "",
                               .rect = line,
                               .fg = ui.colour(Role::ink),
                               .bg = bg});
        }
    }
    end_scroll(ui);
    if (view.head) {
        for (const PlacedColumn& column : columns) {
            paint.text_in(Type::label, ui.colour(Role::quiet), {column.x0, head.y0, column.x1, head.y1},
                          column.column->head, column.column->align);
        }
    }
    if (keys.ring) {
        ui.draw_focus_ring(r, 0);
    }
    ui.report("keys", {.kind = "table",
                       .label = view.label,
                       .value = state.chosen,
                       .rect = r,
                       .fg = ui.colour(Role::text),
                       .bg = paint.surface(),
                       .interactive = false});
    return out;
}

}  // namespace tonebath::window
