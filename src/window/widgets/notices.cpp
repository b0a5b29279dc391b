// Notices and refusals.
#include "window/widgets/blocks.hpp"

#include <cmath>

namespace tonebath::window {

float notice_height(const Ui& ui) {
    return ui.em(3.625F);
}

bool notice(Ui& ui, const Rect& place, const NoticeView& view) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope(view.id);
    const Rect r = place.snapped();
    const Colour bg = ui.colour(Role::raised);
    paint.fill(r, bg, ui.em(ui.look().radius.slab));
    paint.push_surface(bg);
    draw_mark(ui, view.mark, {r.x0 + ui.em(1.75F), r.mid_y()}, ui.em(0.75F));
    float x = r.x0 + ui.em(3.25F);
    if (view.tag) {
        x = number_tag(ui, view.tag->first, view.tag->second, x, r.mid_y()).x1 + ui.em(1);
    }
    float right = r.x1 - ui.em(0.75F);
    bool used = false;
    if (!view.button.empty()) {
        const float width = button_width(ui, view.button, view.key);
        used = button_plain(ui, "answer", {right - width, r.mid_y() - ui.em(1.375F), right, r.mid_y() + ui.em(1.375F)},
                            view.button, view.key);
        right -= width + ui.em(0.75F);
    }
    const float mid = std::round(r.mid_y());
    paint.text(Type::strong, ui.colour(Role::ink), {x, mid - ui.em(0.1875F)},
               paint.ellipsis(Type::strong, right - x, view.what));
    paint.text(Type::label, ui.colour(Role::text), {x, mid + ui.em(1.125F)},
               paint.ellipsis(Type::label, right - x, view.why));
    paint.pop_surface();
    ui.report("notice", {.kind = "notice",
                         .label = view.what,
                         .value = view.why,
                         .rect = r,
                         .fg = ui.colour(Role::ink),
                         .bg = bg,
                         .interactive = false});
    return used;
}

float refusal_height(const Ui& ui, const RefusalView& view) {
    return ui.em(3.375F + 3.75F * static_cast<float>(view.reasons.size()) + (view.rest.empty() ? 0.375F : 1.5F));
}

std::string refusal_band(Ui& ui, const Rect& place, const RefusalView& view) {
    Painter& paint = ui.paint();
    const auto scope = ui.scope(view.id);
    const Rect r = place.snapped();
    const Colour bg = ui.colour(Role::raised);
    paint.fill(r, bg, ui.em(ui.look().radius.slab));
    paint.push_surface(bg);
    draw_mark(ui, Mark::warn, {r.x0 + ui.em(1.875F), r.y0 + ui.em(1.9375F)}, ui.em(0.8125F));
    paint.text(Type::leads, ui.colour(Role::ink), {r.x0 + ui.em(3.5F), r.y0 + ui.em(2.375F)}, view.head);
    std::string used;
    float y = r.y0 + ui.em(3.375F);
    for (const RefusalReason& reason : view.reasons) {
        divider(ui, r.x0 + ui.em(1.25F), r.x1 - ui.em(1.25F), y);
        const Vec2 at{r.x0 + ui.em(2.3125F), y + ui.em(1.6875F)};
        if (reason.seat) {
            seat_disc(ui, reason.seat->first, reason.seat->second, at, ui.em(1.0625F));
        } else {
            draw_mark(ui, reason.mark, at, ui.em(0.8125F));
        }
        float right = r.x1 - ui.em(1.25F);
        if (reason.key.key != Key::none) {
            const std::string cap = chord_cap(reason.key);
            const float words = paint.text_width(Type::label, reason.key_words);
            const float width = key_cap_width(ui, cap) + ui.em(0.5F) + words;
            const float x = right - width - ui.em(0.4375F);
            const Rect target{x - ui.em(0.5F), at.y - ui.em(1.375F), right, at.y + ui.em(1.375F)};
            const Touch touch = ui.touch(reason.id, target);
            key_cap_at(ui, cap, x, at.y, ui.colour(Role::edge), ui.colour(Role::text));
            paint.text_in(Type::label, ui.colour(Role::text),
                          {x + key_cap_width(ui, cap) + ui.em(0.5F), target.y0, right, target.y1}, reason.key_words);
            if (touch.ring) {
                ui.draw_focus_ring(target.shrunk(paint.px(5)), ui.em(ui.look().radius.control));
            }
            if (touch.activated || ui.pressed(reason.key.key, reason.key.mods)) {
                used = reason.id;
            }
            ui.report(reason.id, {.kind = "reason",
                                  .label = reason.what,
                                  .value = reason.missing,
                                  .key = cap,
                                  .rect = target,
                                  .fg = ui.colour(Role::text),
                                  .bg = bg});
            right = target.x0 - ui.em(0.5F);
        } else {
            ui.report(reason.id, {.kind = "reason",
                                  .label = reason.what,
                                  .value = reason.missing,
                                  .rect = {r.x0, y, r.x1, y + ui.em(3.75F)},
                                  .fg = ui.colour(Role::ink),
                                  .bg = bg,
                                  .interactive = false});
        }
        const float x = r.x0 + ui.em(4.25F);
        paint.text(Type::strong, ui.colour(Role::ink), {x, y + ui.em(1.5F)},
                   paint.ellipsis(Type::strong, right - x, reason.what));
        paint.text(Type::label, ui.colour(Role::text), {x, y + ui.em(2.75F)},
                   paint.ellipsis(Type::label, right - x, reason.missing));
        y += ui.em(3.75F);
    }
    if (!view.rest.empty()) {
        paint.text(Type::label, ui.colour(Role::quiet), {r.x0 + ui.em(1.25F), y + ui.em(0.625F)}, view.rest);
    }
    paint.pop_surface();
    ui.report("refusal", {.kind = "refusal",
                          .label = view.head,
                          .value = view.rest,
                          .rect = r,
                          .fg = ui.colour(Role::ink),
                          .bg = bg,
                          .interactive = false});
    return used;
}

}  // namespace tonebath::window
