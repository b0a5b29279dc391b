#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "window/panels/safety_bottles.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace tonebath::window {

namespace {

std::string month_words(const app::WasteMonth& month) {
    static constexpr std::array<std::string_view, 12> kNames{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                             "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    return fmt::format("{} {}", kNames[static_cast<std::size_t>(std::clamp(month.month, 1, 12) - 1)], month.year);
}

std::string litres(double ml) {
    return fixed_text(ml / 1000.0, 2) + " l";
}

}  // namespace

void WastePart::read(app::Studio& studio) {
    balance_ = app::waste_balance(studio);
    months_ = app::waste_months(studio);
    rules_ = app::local_rules(studio);
    lots_ = app::lot_balances(studio);
}

void WastePart::draw(Ui& ui, Rect page, const Glance& glance, Wishes& wishes) {
    if (balance_.baths == 0 && balance_.disposals == 0 && rules_.empty()) {
        const EmptyView empty{.id = "no waste",
                              .scale = &ui.look().silver,
                              .fact = "No bath was made up, so nothing has to go.",
                              .todo =
                                  "Ask your local office now what may leave and how, and write its rule down: who said "
                                  "it, when, for what.",
                              .button = glance.read_only ? "" : "Write down a local rule",
                              .key = Key::l,
                              .copper = true};
        if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), empty)) {
            wishes.add(WishSheet{.action = "rule.add", .filled = {}});
        }
        return;
    }
    const Rect foot = page.cut_bottom(ui.em(1.75F));
    ui.paint().text_in(Type::label, ui.colour(Role::ink), foot, app::waste_decides());
    page.cut_bottom(ui.em(0.5F));
    const std::vector<Rect> halves = page.columns(std::vector<float>{1.1F, 1.0F}, ui.em(1.5F));
    draw_balance(ui, halves[0]);
    draw_rules(ui, halves[1], glance, wishes);
}

void WastePart::draw_balance(Ui& ui, const Rect& place) {
    const Rect card = begin_card(ui, place);
    Painter& paint = ui.paint();
    const Rect inside = begin_scroll(ui, "balance", card, left_h_, left_);
    const float width = inside.w();
    float y = inside.y0 + ui.em(1.0F);
    section_head(ui, {inside.x0, inside.y0, inside.x1, card.y1}, y, "Made and gone", "every bath and every disposal");
    y += ui.em(3.0F);
    const float figure =
        paint.text(Type::figure, ui.colour(Role::ink), {inside.x0, y}, litres(std::abs(balance_.open_ml)));
    paint.text(Type::lead, ui.colour(Role::text), {inside.x0 + figure + ui.em(0.75F), y},
               balance_.open_ml < 0.0 ? "more gone than made" : "owed or unlogged");
    y += ui.em(1.75F);
    for (const std::string& words : balance_.words) {
        y += paint.text_wrapped(Type::body, ui.colour(Role::text), {inside.x0, y}, width, words, Align::left,
                                ui.em(1.5F)) +
             ui.em(0.25F);
    }
    y += ui.em(1.25F);
    section_head(ui, {inside.x0, y, inside.x1, card.y1}, y, "Mass by month", "against the limit that you typed");
    y += ui.em(1.75F);
    if (months_.empty()) {
        paint.text(Type::body, ui.colour(Role::text), {inside.x0, y}, "No disposal is logged.");
        y += ui.em(1.5F);
    }
    for (const app::WasteMonth& month : months_) {
        paint.text(Type::strong, ui.colour(Role::ink), {inside.x0, y}, month_words(month));
        y += paint.text_wrapped(Type::label, ui.colour(month.over() ? Role::look : Role::text),
                                {inside.x0 + ui.em(5.5F), y}, width - ui.em(5.5F), month.words) +
             ui.em(0.375F);
    }
    left_h_ = y - inside.y0;
    end_scroll(ui);
    end_card(ui);
}

void WastePart::draw_rules(Ui& ui, const Rect& place, const Glance& glance, Wishes& wishes) {
    Rect card = begin_card(ui, place);
    if (!glance.read_only) {
        Rect buttons = card.cut_bottom(ui.em(3.25F));
        const std::vector<Rect> two = buttons.columns(std::vector<float>{1.0F, 1.0F}, ui.em(0.75F));
        if (button_do(ui, "log a disposal", two[0], "Log a disposal", Key::d, {.bench = true})) {
            wishes.add(WishSheet{.action = "disposal.add",
                                 .filled = balance_.owed.empty() ? std::map<std::string, std::string>{}
                                                                 : std::map<std::string, std::string>{
                                                                       {"bath", balance_.owed.front().number}}});
        }
        if (button_plain(ui, "local rule", two[1], "A local rule", Key::l, {.bench = true})) {
            wishes.add(WishSheet{.action = "rule.add", .filled = {}});
        }
        card.cut_bottom(ui.em(0.75F));
    }
    Painter& paint = ui.paint();
    const Rect inside = begin_scroll(ui, "rules", card, right_h_, right_);
    float y = inside.y0 + ui.em(1.0F);
    const auto head = [&](std::string_view words, std::string_view note) {
        section_head(ui, {inside.x0, y, inside.x1, card.y1}, y, words, note);
        y += ui.em(1.75F);
    };
    const auto line = [&](std::string_view strong, std::string_view words) {
        paint.text(Type::strong, ui.colour(Role::ink), {inside.x0, y}, strong);
        y += ui.em(1.25F);
        y += paint.text_wrapped(Type::label, ui.colour(Role::text), {inside.x0, y}, inside.w(), words) + ui.em(0.5F);
    };
    head("Owed", balance_.owed.empty() ? "nothing" : "ended, and no disposal names it");
    for (const app::OwedBath& bath : balance_.owed) {
        const Rect tag = number_tag(ui, TagShape::bath, bath.number, inside.x0, y - ui.em(0.25F));
        paint.text(Type::body, ui.colour(Role::text), {tag.x1 + ui.em(0.75F), y},
                   fmt::format("{}{}, ended {}", bath.ml ? fixed_text(*bath.ml, 0) + " ml" : "volume not known",
                               bath.kept_back ? " kept back" : "", date_text(bath.ended)));
        y += ui.em(2.25F);
    }
    y += ui.em(0.75F);
    head("Local rules on file", "");
    if (rules_.empty()) {
        y += paint.text_wrapped(Type::body, ui.colour(Role::text), {inside.x0, y}, inside.w(),
                                "None. Ask your local office; write down who said what, when and for what.") +
             ui.em(0.5F);
    }
    for (const app::RuleRow& rule : rules_) {
        line(rule.rule.name,
             fmt::format("{}; {}", rule.words, counted(rule.disposals, "disposal names it", "disposals name it")));
    }
    y += ui.em(0.75F);
    head("Lots", "bought, used, left");
    for (const app::LotBalance& lot : lots_) {
        line(lot.lot, lot.words);
    }
    right_h_ = y - inside.y0;
    end_scroll(ui);
    end_card(ui);
}

}  // namespace tonebath::window
