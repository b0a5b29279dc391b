#include "window/panels/why_block.hpp"

#include "base/quantity_text.hpp"
#include "window/widgets/bars.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr float kLine_em = 1.5F;
constexpr float kRow_em = 2.75F;
constexpr float kBars_em = 13.0F;  // from lighter to further
constexpr float kTones_em = 6.5F;

std::string tones_words(double tones) {
    const double size = std::abs(tones);
    return size < 0.05 ? "none" : fmt::format("{} {}", fixed_text(size, 1), tones < 0.0 ? "lighter" : "further");
}

// Draws, or only measures when `paint_it` is false: both walk the same lines.
class Column {
public:
    Column(Ui& ui, const Rect& r, bool paint_it) : ui_(ui), r_(r), y_(r.y0), paint_it_(paint_it) {}

    [[nodiscard]] float used() const { return y_ - r_.y0; }
    void gap(float em) { y_ += ui_.em(em); }

    void words(Type type, Role role, const std::string& text) {
        for (const std::string& line : ui_.paint().wrap(type, r_.w(), text)) {
            y_ += ui_.em(kLine_em);
            if (paint_it_) {
                ui_.paint().text(type, ui_.colour(role), {r_.x0, y_ - ui_.em(0.375F)}, line);
            }
        }
    }

    void head(const std::string& text, const std::string& note) {
        if (paint_it_) {
            section_head(ui_, r_, y_ + ui_.em(1.125F), text, note);
        }
        y_ += ui_.em(1.75F);
    }

    void part(const app::WhyPart& part) {
        head(part.head, part.note);
        words(Type::body, Role::text, part.words);
        if (part.differs) {
            gap(0.5F);
            bar_heads();
            for (const app::CauseBar& cause : part.causes) {
                row(cause.name, cause.figures.empty() ? cause.dose : cause.dose + ": " + cause.figures, tones_words(cause.tones), part, cause.named);
                bar(cause.tones, part.widest, ui_.colour(cause.named ? Role::copper : Role::steel));
            }
            row("not explained", "80 of 100: " + part.left_words, tones_words(part.left), part, false);
            left_bar(part);
            gap(0.25F);
            if (!part.same.empty()) {
                words(Type::label, Role::text, part.same);
            }
        }
        for (const std::string& one : part.beside) {
            words(Type::label, Role::text, one);
        }
        gap(1.25F);
    }

private:
    [[nodiscard]] Rect bars() const {
        const float x1 = r_.x1 - ui_.em(kTones_em);
        return {x1 - ui_.em(kBars_em), y_ - ui_.em(kRow_em), x1, y_};
    }

    void bar_heads() {
        y_ += ui_.em(kLine_em);
        if (paint_it_) {
            const float base = y_ - ui_.em(0.5F);
            const Rect place = bars();
            ui_.paint().text(Type::label, ui_.colour(Role::quiet), {r_.x0, base}, "What differed");
            ui_.paint().text(Type::label, ui_.colour(Role::quiet), {place.x0, base}, "lighter");
            ui_.paint().text(Type::label, ui_.colour(Role::quiet), {place.x1, base}, "further", Align::right);
            ui_.paint().text(Type::label, ui_.colour(Role::quiet), {r_.x1, base}, "in tones", Align::right);
        }
    }

    void row(const std::string& name, const std::string& dose, const std::string& tones, const app::WhyPart& part, bool strong) {
        static_cast<void>(part);
        if (paint_it_) {
            divider(ui_, r_.x0, r_.x1, y_);
            const float width = r_.w() - ui_.em(kBars_em + kTones_em + 1.0F);
            Painter& paint = ui_.paint();
            paint.text(strong ? Type::strong : Type::body, ui_.colour(Role::ink), {r_.x0, y_ + ui_.em(1.125F)}, paint.ellipsis(Type::strong, width, name));
            paint.text(Type::label, ui_.colour(Role::text), {r_.x0, y_ + ui_.em(2.25F)}, paint.ellipsis(Type::label, width, dose));
            paint.text(strong ? Type::strong : Type::body, ui_.colour(Role::ink), {r_.x1, y_ + ui_.em(1.625F)}, tones, Align::right);
        }
        y_ += ui_.em(kRow_em);
    }

    [[nodiscard]] static float x_of(const Rect& place, double tones, double widest) {
        return std::round(place.mid_x() + place.w() * 0.5F * static_cast<float>(std::clamp(tones / widest, -1.0, 1.0)));
    }

    void middle_line(const Rect& place) { ui_.paint().vline(std::round(place.mid_x()), place.y0, place.y1, ui_.colour(Role::edge), 1); }

    void bar(double tones, double widest, Colour colour) {
        if (!paint_it_) {
            return;
        }
        const Rect place = bars();
        const float x = x_of(place, tones, widest);
        const float mid = place.mid_x();
        const float half = ui_.em(0.4375F);
        const float least = ui_.px(2);
        const Rect filled{std::min(x, std::min(mid, mid + (tones < 0.0 ? -least : 0.0F))), place.mid_y() - half, std::max(x, mid + (tones < 0.0 ? 0.0F : least)),
                          place.mid_y() + half};
        ui_.paint().fill(filled.snapped(), colour);
        middle_line(place);
    }

    // What no record explains: an outline instead of a filled bar, and its range as a line with end ticks.
    void left_bar(const app::WhyPart& part) {
        if (!paint_it_) {
            return;
        }
        const Rect place = bars();
        Painter& paint = ui_.paint();
        const float y = std::round(place.mid_y());
        const float half = ui_.em(0.4375F);
        const float x = x_of(place, part.left, part.widest);
        const float mid = std::round(place.mid_x());
        if (std::abs(x - mid) > ui_.px(3)) {
            paint.outline(Rect{std::min(x, mid), y - half, std::max(x, mid), y + half}.snapped(), ui_.colour(Role::unknown), ui_.px(2));
        }
        const float low = x_of(place, part.left_low, part.widest);
        const float high = x_of(place, part.left_high, part.widest);
        paint.hline(low, high, y - ui_.px(1), ui_.colour(Role::text), 2);
        for (const float end : {low, high}) {
            paint.vline(end - ui_.px(1), y - ui_.em(0.5F), y + ui_.em(0.5F), ui_.colour(Role::text), 2);
        }
        middle_line(place);
    }

    Ui& ui_;
    Rect r_;
    float y_;
    bool paint_it_;
};

float walk(Ui& ui, const Rect& r, const app::WhyView& view, bool paint_it) {
    Column column(ui, r, paint_it);
    for (const app::WhyPart& part : view.parts) {
        column.part(part);
    }
    if (view.parts.empty()) {
        column.words(Type::body, Role::text, view.none);
    }
    return column.used();
}

}  // namespace

void why_block(Ui& ui, const Rect& r, const app::WhyView* view, ScrollState& scroll) {
    const Rect card = begin_card(ui, r);
    if (view == nullptr) {
        ui.paint().text(Type::body, ui.colour(Role::text), {card.x0, card.y0 + ui.em(1.125F)}, "Working it out …");
    } else {
        const float height = walk(ui, card, *view, false);
        const Rect content = begin_scroll(ui, "why", card, height, scroll, true);
        static_cast<void>(walk(ui, content, *view, true));
        end_scroll(ui);
    }
    end_card(ui);
}

}  // namespace tonebath::window
