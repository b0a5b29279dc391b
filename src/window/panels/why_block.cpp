#include "window/panels/why_block.hpp"

#include "base/quantity_text.hpp"
#include "window/widgets/bars.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <cmath>

namespace tonebath::window {

namespace {

constexpr float kLine_em = 1.5F;
constexpr float kRow_em = 2.75F;
constexpr float kBars_em = 11.0F;       // from lighter to further
constexpr float kBarsNarrow_em = 8.0F;
constexpr float kTones_em = 6.0F;

std::string tones_words(double tones) {
    const double size = std::abs(tones);
    return size < 0.05 ? "none" : fmt::format("{} {}", fixed_text(size, 1), tones < 0.0 ? "lighter" : "further");
}

// Draws, or only measures when `paint_it` is false: both walk the same lines.
class Column {
public:
    Column(Ui& ui, const Rect& r, bool paint_it) : ui_(ui), r_(r), y_(r.y0), bars_w_(ui.em(ui.width() == Width::narrow ? kBarsNarrow_em : kBars_em)), paint_it_(paint_it) {}

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
        // Where the two do not stand on one line, the note goes below.
        const bool below = ui_.paint().text_width(Type::leads, text) + ui_.paint().text_width(Type::label, note) + ui_.em(1.0F) > r_.w();
        if (paint_it_) {
            section_head(ui_, r_, y_ + ui_.em(1.125F), text, below ? "" : note);
        }
        y_ += ui_.em(1.75F);
        if (below) {
            words(Type::label, Role::quiet, note);
        }
    }

    void part(const app::WhyPart& part) {
        head(part.head, part.note);
        words(Type::body, Role::text, part.words);
        if (part.differs) {
            gap(0.5F);
            bar_heads();
            for (const app::CauseBar& cause : part.causes) {
                row(cause.name, cause.figures.empty() ? cause.dose : cause.dose + ": " + cause.figures, tones_words(cause.tones), cause.named);
                bar(part, {.value = cause.tones, .colour = cause.named ? Role::copper : Role::steel});
            }
            row("not explained", "80 of 100: " + part.left_words, tones_words(part.left), false);
            bar(part, {.value = part.left, .range = std::pair{part.left_low, part.left_high}, .hollow = true});
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
        return {x1 - bars_w_, y_ - ui_.em(kRow_em), x1, y_};
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

    void row(const std::string& name, const std::string& dose, const std::string& tones, bool strong) {
        if (paint_it_) {
            divider(ui_, r_.x0, r_.x1, y_);
            const float width = r_.w() - bars_w_ - ui_.em(kTones_em + 0.75F);
            Painter& paint = ui_.paint();
            paint.text(strong ? Type::strong : Type::body, ui_.colour(Role::ink), {r_.x0, y_ + ui_.em(1.125F)}, paint.ellipsis(Type::strong, width, name));
            paint.text(Type::label, ui_.colour(Role::text), {r_.x0, y_ + ui_.em(2.25F)}, paint.ellipsis(Type::label, width, dose));
            paint.text(strong ? Type::strong : Type::body, ui_.colour(Role::ink), {r_.x1, y_ + ui_.em(1.625F)}, tones, Align::right);
        }
        y_ += ui_.em(kRow_em);
    }

    void bar(const app::WhyPart& part, SignedBarView bar) {
        if (paint_it_) {
            bar.widest = part.widest;
            signed_bar(ui_, bars().shrunk(0, ui_.em(0.25F)), bar);
        }
    }

    Ui& ui_;
    Rect r_;
    float y_;
    float bars_w_;
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
    if (view == nullptr) {
        words_card(ui, r, "Working it out …");
        return;
    }
    const Rect card = begin_card(ui, r);
    const float height = walk(ui, card, *view, false);
    const Rect content = begin_scroll(ui, "why", card, height, scroll, true);
    static_cast<void>(walk(ui, content, *view, true));
    end_scroll(ui);
    end_card(ui);
}

}  // namespace tonebath::window
