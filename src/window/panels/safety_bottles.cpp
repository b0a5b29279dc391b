#include "window/panels/safety_bottles.hpp"

#include "app/pairs.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::window {

namespace {

// In gloves: 3 em are 48 px at scale 1.
constexpr float kGlove_em = 3.25F;

RefusalView stops_of(const app::BenchList& bench) {
    RefusalView view{.id = "stops", .head = {}, .reasons = {}, .rest = {}};
    for (const app::BenchPair& pair : bench.pairs) {
        if (pair.level == tonebath::CheckLevel::stop) {
            view.reasons.push_back({.id = pair.one.id + pair.other.id,
                                    .mark = Mark::stop,
                                    .what = pair.words(),
                                    .missing = pair.from(),
                                    .key = {},
                                    .key_words = {}});
        }
    }
    if (!bench.fault.empty()) {
        view.reasons.push_back(
            {.id = "fault", .mark = Mark::stop, .what = bench.fault, .missing = {}, .key = {}, .key_words = {}});
    }
    view.head = "Put one away first: no bath begins, and no coating";
    view.head += view.reasons.size() > 2 ? fmt::format(" ({} stops)", view.reasons.size()) : std::string();
    // The page must keep its place for the bottles: the rest is told by the bench list.
    if (view.reasons.size() > 2) {
        view.reasons.resize(2);
    }
    return view;
}

}  // namespace

void BottlesPart::read(app::Studio& studio) {
    register_ = app::chemical_register(studio);
    bench_ = app::bench_list(studio);
    if (chosen() == nullptr) {
        table_.chosen = register_.rows.empty() ? "" : register_.rows.front().chemical.id.text;
    }
}

const app::ChemicalRow* BottlesPart::chosen() const {
    const auto found = std::ranges::find_if(
        register_.rows, [this](const app::ChemicalRow& row) { return row.chemical.id.text == table_.chosen; });
    return found == register_.rows.end() ? nullptr : &*found;
}

bool BottlesPart::fill(std::string_view action, std::map<std::string, std::string>& filled) const {
    const app::ChemicalRow* row = chosen();
    if (row == nullptr || !action.starts_with("chemical.") || action == "chemical.add" ||
        action == "chemical.sheet-interval") {
        return false;
    }
    filled["product"] = row->chemical.name;
    return true;
}

void BottlesPart::draw(Ui& ui, Rect page, const Glance& glance, Wishes& wishes) {
    if (register_.rows.empty()) {
        const EmptyView empty{.id = "no products",
                              .scale = &ui.look().silver,
                              .fact = "No product is written down.",
                              .todo =
                                  "Begin with the acids. Unread, a product counts as acid.",
                              .button = glance.read_only ? "" : "Write down a product",
                              .key = Key::p,
                              .copper = true};
        if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), empty)) {
            wishes.add(WishSheet{.action = "chemical.add", .filled = {}});
        }
        return;
    }
    if (const RefusalView stops = stops_of(bench_); !stops.reasons.empty()) {
        refusal_band(ui, page.cut_top(refusal_height(ui, stops)), stops);
        page.cut_top(ui.em(1.125F));
        page.cut_top(ui.paint().text_wrapped(Type::strong, ui.colour(Role::look), {page.x0, page.y0}, page.w(),
                                             app::first_words()));
    }
    Rect right = page.cut_right(ui.em(ui.width() == Width::narrow ? 24.0F : 29.0F));
    page.cut_right(ui.em(1.5F));
    draw_register(ui, page, glance, wishes);
    const Rect out = right.cut_top(std::max(ui.em(7.0F), right.h() * 0.34F));
    right.cut_top(ui.em(1.0F));
    draw_out(ui, out);
    draw_chosen(ui, right, glance, wishes);
}

void BottlesPart::draw_register(Ui& ui, Rect place, const Glance& glance, Wishes& wishes) {
    Rect foot = place.cut_bottom(ui.em(3.5F));
    if (!glance.read_only) {
        Rect add = foot.cut_right(button_width(ui, "Add a product", Key::p) + ui.em(0.5F));
        if (button_plain(ui, "add", add.cut_bottom(ui.em(3.0F)), "Add a product", Key::p, {.bench = true})) {
            wishes.add(WishSheet{.action = "chemical.add", .filled = {}});
        }
        foot.cut_right(ui.em(0.75F));
    }
    ui.paint().text_in(Type::label, ui.colour(Role::quiet), foot,
                       fmt::format("Overdue: not read, no date, or over {} months old ({}).", register_.sheet_months,
                                   register_.sheet_months_own ? "your own" : "ours, until you set your own"));
    const TableView view{
        .id = "products",
        .label = "Products in the studio",
        .columns = {{.id = "name", .head = "Product"},
                    {.id = "sheet", .head = "Its sheet", .width_em = 12.5F, .drop_when_narrow = true},
                    {.id = "where", .head = "Where", .width_em = 12.5F}},
        .row_count = static_cast<int>(register_.rows.size()),
        .empty = {},
        .row =
            [this](int row) {
                const app::ChemicalRow& one = register_.rows[static_cast<std::size_t>(row)];
                return TableRow{.id = one.chemical.id.text,
                                .label = fmt::format("{}: {}; {}", one.chemical.name, one.counts_as, one.state())};
            },
        .cell =
            [this](Ui& drawn, int row, const Column& column, const Rect& cell, bool) {
                const app::ChemicalRow& one = register_.rows[static_cast<std::size_t>(row)];
                Painter& paint = drawn.paint();
                Rect upper{cell.x0, cell.y0 + drawn.em(0.25F), cell.x1, cell.mid_y() + drawn.em(0.125F)};
                Rect lower{cell.x0, cell.mid_y(), cell.x1, cell.y1 - drawn.em(0.25F)};
                if (column.id == "name") {
                    paint.text_in(Type::strong, drawn.colour(Role::ink), upper, one.chemical.name);
                    paint.text_in(Type::label, drawn.colour(Role::text), lower, "counts as " + one.counts_as);
                } else if (column.id == "sheet") {
                    const bool overdue = !one.overdue.empty();
                    draw_mark(drawn, overdue ? Mark::owed : Mark::done, {cell.x0 + drawn.em(0.625F), cell.mid_y()},
                              drawn.em(0.5625F));
                    Rect words = cell;
                    words.cut_left(drawn.em(1.625F));
                    paint.text_in(Type::label, drawn.colour(Role::text), words,
                                  !one.chemical.read_at    ? "not read"
                                  : !one.chemical.sheet_at ? "read, no date"
                                                           : fmt::format("of {}{}", date_text(*one.chemical.sheet_at),
                                                                         overdue ? ", old" : ""));
                } else {
                    paint.text_in(one.chemical.on_bench_at ? Type::strong : Type::label,
                                  drawn.colour(one.chemical.on_bench_at ? Role::copper : Role::text), cell,
                                  one.state());
                }
            }};
    table(ui, place, view, table_);
}

void BottlesPart::draw_out(Ui& ui, const Rect& place) {
    Rect card = begin_card(ui, place);
    Painter& paint = ui.paint();
    section_head(ui, card, card.y0 + ui.em(1.0F), "Out now",
                 bench_.things.empty() ? "" : counted(bench_.things.size(), "thing", "things"));
    card.cut_top(ui.em(1.5F));
    const Rect inside = begin_scroll(ui, "out", card, out_h_, out_scroll_);
    float y = inside.y0 + ui.em(1.25F);
    if (bench_.things.empty()) {
        y += paint.text_wrapped(Type::body, ui.colour(Role::text), {inside.x0, y}, inside.w(),
                                "Nothing stands out: no product, no bath in use.");
    }
    for (const app::BenchThing& thing : bench_.things) {
        const float since = paint.text(Type::label, ui.colour(Role::quiet), {inside.x1, y},
                                       "since " + date_time_text(thing.since), Align::right);
        paint.text(Type::body, ui.colour(Role::ink), {inside.x0, y},
                   paint.ellipsis(Type::body, inside.w() - since - ui.em(0.75F), thing.words()));
        y += ui.em(1.5F);
    }
    // What must not meet, but stops nothing.
    for (const app::BenchPair& pair : bench_.pairs) {
        if (pair.level != tonebath::CheckLevel::stop) {
            draw_mark(ui, Mark::look, {inside.x0 + ui.em(0.5F), y - ui.em(0.25F)}, ui.em(0.5F));
            y += paint.text_wrapped(Type::label, ui.colour(Role::text), {inside.x0 + ui.em(1.5F), y},
                                    inside.w() - ui.em(1.5F), pair.words() + " " + pair.from()) +
                 ui.em(0.5F);
        }
    }
    out_h_ = y - inside.y0;
    end_scroll(ui);
    end_card(ui);
}

void BottlesPart::draw_chosen(Ui& ui, Rect place, const Glance& glance, Wishes& wishes) {
    const app::ChemicalRow* row = chosen();
    if (row == nullptr) {
        return;
    }
    const Chemical& one = row->chemical;
    Rect card = begin_card(ui, place);
    if (!glance.read_only) {
        // One key, whichever way the bottle goes.
        const bool out = one.on_bench_at.has_value();
        Rect buttons = card.cut_bottom(ui.em(kGlove_em));
        Rect sheet = buttons.cut_right(button_width(ui, "Its sheet", Key::e) + ui.em(0.5F));
        buttons.cut_right(ui.em(0.75F));
        if (button_do(ui, "out or away", buttons, out ? "Put it away" : "Put it out", Key::o, {.bench = true})) {
            wishes.add(WishForm{{.action = out ? "chemical.away" : "chemical.out", .typed = {{"product", one.name}}}});
        }
        if (button_plain(ui, "its sheet", sheet, "Its sheet", Key::e, {.bench = true})) {
            wishes.add(WishSheet{.action = "chemical.read-sheet", .filled = {{"product", one.name}}});
        }
        card.cut_bottom(ui.em(0.75F));
    }
    section_head(ui, card, card.y0 + ui.em(1.0F), one.name, row->lot.empty() ? "" : "lot " + row->lot);
    card.cut_top(ui.em(1.5F));
    Painter& paint = ui.paint();
    std::vector<std::string> lines;
    lines.push_back("Counts as " + row->counts_as + ".");
    if (!row->overdue.empty()) {
        lines.push_back("Overdue: " + row->overdue + ".");
    }
    lines.push_back(one.opened_at ? "Opened " + date_text(*one.opened_at) + "." : "When it was opened is not known.");
    lines.push_back(
        fmt::format("Kept: {}.", one.place.empty() ? "not known" : one.place + (one.locked ? ", locked" : "")));
    if (one.strength_percent) {
        lines.push_back(fmt::format("At most {} % of sulfide, by its sheet.", fixed_text(*one.strength_percent, 1)));
    }
    for (const app::SheetStatement& statement : row->statements) {
        lines.push_back(statement.meaning.empty() ? statement.code + ": as its sheet has it."
                                                  : fmt::format("{} {} ({}; {}).", statement.code, statement.meaning,
                                                                statement.source, statement.trust));
    }
    float height = 0;
    for (const std::string& line : lines) {
        height += ui.em(1.25F) * static_cast<float>(paint.wrap(Type::label, card.w() - ui.em(1.0F), line).size()) +
                  ui.em(0.25F);
    }
    const Rect inside = begin_scroll(ui, "sheet", card, height + ui.em(0.5F), sheet_scroll_);
    float y = inside.y0 + ui.em(1.125F);
    for (const std::string& line : lines) {
        y += paint.text_wrapped(Type::label, ui.colour(Role::text), {inside.x0, y}, card.w() - ui.em(1.0F), line,
                                Align::left, ui.em(1.25F)) +
             ui.em(0.25F);
    }
    end_scroll(ui);
    end_card(ui);
}

}  // namespace tonebath::window
