// Where the figures of the air are from, and the limits that the studio adds to them.
#include "window/panels/safety_air.hpp"

#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <string>
#include <vector>

namespace tonebath::window {

void AirPart::draw_sources(Ui& ui, Rect page, const Glance& glance, Wishes& wishes) {
    Rect own = page.cut_bottom(ui.em(3.75F));
    own.cut_top(ui.em(0.75F));
    if (!glance.read_only && button_plain(ui, "own limit", own.cut_left(ui.em(17.0F)), "A limit of your own", Key::n)) {
        wishes.add(WishSheet{.action = "limit.add"});
    }
    ui.paint().text(Type::label, ui.colour(Role::text), {own.x0 + ui.em(1.0F), own.mid_y() + ui.em(0.3125F)},
                    ui.paint().ellipsis(Type::label, own.w() - ui.em(1.0F), "One that a private body sells, or your inspector's: figures are held against the lowest of its kind."));
    const Rect card = begin_card(ui, page);
    const app::AirAnswer* air = told_ && question_ != kAcid ? &told_->answer : view_.air ? &*view_.air : nullptr;
    std::vector<std::string> lines = air != nullptr ? air->sources : std::vector<std::string>{view_.why_no_air};
    if (hood_) {
        lines.insert(lines.end(), hood_->sources.begin(), hood_->sources.end());
    }
    for (const app::GasEffect& effect : view_.effects) {
        lines.push_back(fmt::format("{}: {} ({}; {}, {})", effect.ppm_words(), effect.effect, effect.bodies, effect.source_words, effect.trust));
    }
    float height = 0.0F;
    for (const std::string& line : lines) {
        height += ui.em(1.5F) * static_cast<float>(ui.paint().wrap(Type::body, card.w() - ui.em(1.0F), line).size()) + ui.em(0.25F);
    }
    const Rect inside = begin_scroll(ui, "sources", card, height, scroll_, true);
    float y = inside.y0 + ui.em(1.0F);
    for (const std::string& line : lines) {
        y += ui.paint().text_wrapped(Type::body, ui.colour(Role::text), {inside.x0, y}, card.w() - ui.em(1.0F), line, Align::left, ui.em(1.5F)) + ui.em(0.25F);
    }
    end_scroll(ui);
    end_card(ui);
}

}  // namespace tonebath::window
