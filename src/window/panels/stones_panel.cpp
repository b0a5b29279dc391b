#include "window/panels/stones_panel.hpp"

#include "app/studio.hpp"
#include "app/views/stones_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "window/panels/stones_rows.hpp"
#include "window/widgets/bars.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace tonebath::window {

namespace {

constexpr std::string_view kBacks = "backs", kTimes = "times", kDue = "due", kGate = "gate", kWhere = "where";

class StonesPage final : public Page {
public:
    [[nodiscard]] PageName name() const override { return PageName::stones; }
    [[nodiscard]] LoopArc arc() const override { return LoopArc::learn; }
    [[nodiscard]] std::string fact() const override {
        return view_.rows.empty() ? "" : fmt::format("{} of {} seen", view_.seen, view_.rows.size());
    }

    // Every stone with its baths and looks is a long way to read: only while the page is shown.
    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>&) override {
        studio_ = &studio;
        stale_ = true;
    }

    void catch_up() override {
        if (std::exchange(stale_, false)) {
            read_view();
        }
        if (part_ == kGate && std::exchange(gate_stale_, false)) {
            read_gate();
        }
    }

    // The stone's kind and back, held against a finish.
    void choose(std::string_view record) override {
        catch_up();
        const auto row = std::ranges::find_if(view_.rows, [&](const app::StoneRow& one) { return one.id.text == record || one.number == record; });
        if (row != view_.rows.end()) {
            part_ = kGate;
            kind_ = row->kind;
            backing_ = word_of(row->backing);
            gate_stale_ = true;
        }
    }

    void show_view(std::string_view view) override {
        if (view == kBacks || view == kTimes || view == kDue || view == kGate || view == kWhere) {
            part_ = view;
        }
    }
    void told(const Told& told) override { refused_ = told.answer ? "" : told.answer.error().text(); }

    void draw(Ui& ui, const Glance& glance, Wishes& wishes) override {
        Rect page = page_rect(ui);
        if (view_.rows.empty() && part_ != kGate) {
            draw_empty(ui, page, glance, wishes);
            return;
        }
        page.cut_top(ui.em(0.75F));
        const std::vector<Option> parts{{.id = std::string(kBacks), .label = "By coats and bottle"},
                                        {.id = std::string(kTimes), .label = "By time in the bath"},
                                        {.id = std::string(kDue), .label = "Looks due", .note = std::to_string(view_.due.size())},
                                        {.id = std::string(kGate), .label = "Before a bath"},
                                        {.id = std::string(kWhere), .label = "Where harmed"}};
        choice_segmented(ui, "part", page.cut_top(ui.em(2.75F)), "Part of the page", parts, part_);
        page.cut_top(ui.em(0.75F));
        if (part_ == kTimes) {
            draw_times(ui, page);
        } else if (part_ == kDue) {
            draw_due(ui, page, glance, wishes);
        } else if (part_ == kGate) {
            draw_before(ui, page);
        } else if (part_ == kWhere) {
            section_head(ui, page, page.y0 + ui.em(1.25F), "Where stones were harmed", "stones seen harmed, by zone and size");
            page.cut_top(ui.em(2.0F));
            draw_damage(ui, page, view_.damage);
        } else if (asking_back_) {
            draw_ask_back(ui, page);
        } else {
            draw_backs(ui, page);
        }
    }

    [[nodiscard]] std::vector<FootHint> hints() const override {
        return {{.id = "stone.look", .cap = "L", .words = "log a look", .key = Key::l},
                {.id = std::string(kTimes), .cap = "T", .words = "by time", .key = Key::t},
                {.id = std::string(kDue), .cap = "D", .words = "looks due", .key = Key::d},
                {.id = std::string(kGate), .cap = "B", .words = "before a bath", .key = Key::b},
                {.id = "ask", .cap = "A", .words = asking_back_ ? "back to the groups" : "ask for it back", .key = Key::a}};
    }
    void hint_used(std::string_view id, Wishes& wishes) override {
        if (id == "ask") {
            ask_back();
        } else if (id.find('.') != std::string_view::npos) {
            WishSheet sheet{.action = std::string(id)};
            if (part_ == kDue && !due_.chosen.empty()) {
                sheet.filled["stone"] = due_.chosen;
            }
            wishes.add(std::move(sheet));
        } else {
            show_view(id);
        }
    }

private:
    void read_view() {
        view_ = app::stones_view(*studio_);
        asking_back_ = asking_back_ && !view_.study.findings.empty();
        const auto still = [this](const app::FollowUpDue& one) { return one.stone == due_.chosen; };
        if (std::ranges::none_of(view_.due, still)) {
            due_.chosen = view_.due.empty() ? "" : view_.due.front().stone;
        }
        if (times_.chosen.empty() && !view_.cells.empty()) {
            times_.chosen = id_of(view_.cells.front());
        }
        if (kind_.empty() && !view_.kinds.empty()) {
            kind_ = view_.kinds.front();
            backing_ = word_of(view_.backing_of(kind_));
        }
        if (finish_.empty() && !view_.finishes.empty()) {
            finish_ = view_.finishes.front().first;
        }
        gate_stale_ = true;
    }

    void read_gate() {
        gate_.reset();
        if (kind_.empty() || finish_.empty()) {
            return;
        }
        if (auto gate = app::stone_gate(*studio_, view_.rows, kind_, from_word<Backing>(backing_).value_or(Backing::unknown), finish_)) {
            gate_ = std::move(gate).value();
        }
    }

    // The bottle or evening of the first finding; where nothing is found, nothing is asked back.
    void ask_back() {
        part_ = kBacks;
        asking_back_ = !asking_back_ && !view_.study.findings.empty();
    }

    static void draw_empty(Ui& ui, const Rect& page, const Glance& glance, Wishes& wishes) {
        const EmptyView view{.id = "empty",
                             .scale = &ui.look().silver,
                             .fact = "No stones yet.",
                             .todo = "Write down the stones of a piece, and the day they were set.",
                             .button = "Add stones",
                             .key = Key::n,
                             .copper = !glance.read_only};
        if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), view)) {
            wishes.add(WishSheet{.action = "stone.add"});
        }
    }

    void draw_backs(Ui& ui, Rect page) {
        Rect head = page.cut_top(ui.em(2.5F));
        page_head(ui, head.x0, head.y0 + ui.em(1.5F), "Foil backs, by coats and bottle");
        draw_stone_legend(ui, head);
        if (view_.study.groups.empty()) {
            ui.paint().text_in(Type::body, ui.colour(Role::text), page.cut_top(ui.em(3.0F)),
                               "No foil backs are written down. Other stones stand under \"By time in the bath\".");
            return;
        }
        Rect foot = page.cut_bottom(ui.em(1.75F));
        ui.paint().text(Type::label, ui.colour(Role::quiet), {foot.x0, foot.y1 - ui.em(0.375F)},
                        "Bars: two-sided, 19 in 20 (Wilson). All times in the bath stand together here; they are apart under \"By time in the bath\".");
        std::vector<const app::BottleFinding*> findings;
        for (const app::BottleFinding& one : view_.study.findings) {
            findings.push_back(&one);
        }
        if (view_.study.bare) {
            findings.push_back(&*view_.study.bare);
        }
        Rect notes = page.cut_bottom((notice_height(ui) + ui.em(0.5F)) * static_cast<float>(findings.size()));
        for (const app::BottleFinding* finding : findings) {
            notes.cut_top(ui.em(0.5F));
            const bool ask = finding == findings.front() && !view_.study.findings.empty();
            if (notice(ui, notes.cut_top(notice_height(ui)),
                       {.id = finding->head, .mark = Mark::ask, .what = finding->head, .why = finding->words,
                        .button = ask ? fmt::format("Ask these {} back", finding->stones.size()) : "", .key = {}})) {
                ask_back();
            }
        }
        page.cut_bottom(ui.em(0.5F));
        draw_bottle_groups(ui, page, view_.study, groups_scroll_);
    }

    void draw_ask_back(Ui& ui, Rect page) {
        section_head(ui, page, page.y0 + ui.em(1.25F), "To ask back", view_.study.findings.front().head);
        page.cut_top(ui.em(2.25F));
        Painter& paint = ui.paint();
        float y = page.y0 + ui.em(1.0F);
        const auto say = [&](const std::string& name, const std::vector<std::string>& numbers) {
            paint.text(Type::strong, ui.colour(Role::ink), {page.x0, y}, name);
            y += ui.em(1.625F);
            y += paint.text_wrapped(Type::body, ui.colour(Role::text), {page.x0, y}, page.w(), numbers.empty() ? "none" : joined(numbers, ", ")) + ui.em(1.0F);
        };
        const app::StoneTrace& back = view_.ask_back;
        say(counted(back.stones.size(), "stone", "stones"), back.stones);
        say(counted(back.pieces.size(), "piece", "pieces"), back.pieces);
        say(counted(back.orders.size(), "order", "orders"), back.orders);
    }

    void draw_times(Ui& ui, Rect page) {
        Rect foot = page.cut_bottom(ui.em(3.5F));
        const auto chosen = std::ranges::find_if(view_.cells, [this](const app::StoneCell& cell) { return id_of(cell) == times_.chosen; });
        if (chosen != view_.cells.end()) {
            ui.paint().text_wrapped(Type::label, ui.colour(Role::text), {foot.x0, foot.y0 + ui.em(1.5F)}, foot.w(),
                                    chosen->count.refusal_words() + " Bars are two-sided, 19 in 20 (Wilson). Untested is not unharmed.");
        }
        const TableView table_view{
            .id = "times",
            .label = "Stones by time in the bath",
            .columns = {{.id = "kind", .head = "Stone", .width_em = ui.width() == Width::narrow ? 8.5F : 11.0F},
                        {.id = "finish", .head = "Finish, back, coats"},
                        {.id = "band", .head = "In the bath", .width_em = 7.5F},
                        {.id = "seen", .head = "Harmed of seen", .width_em = 9.0F},
                        {.id = "bar", .head = "0 to 100 in 100 harmed", .width_em = 12.0F, .drop_when_narrow = true},
                        {.id = "words", .head = "What that leaves open", .width_em = 15.5F}},
            .row_count = static_cast<int>(view_.cells.size()),
            .empty = "No stone has met a bath yet.",
            .row = [this](int row) {
                const app::StoneCell& cell = view_.cells[static_cast<std::size_t>(row)];
                return TableRow{.id = id_of(cell), .label = fmt::format("{}, {}: {}", cell.kind, app::band_words(cell.band), cell.count.words())};
            },
            .cell = [this](Ui& drawn, int row, const Column& column, const Rect& place, bool) {
                draw_cell(drawn, view_.cells[static_cast<std::size_t>(row)], column.id, place);
            }};
        table(ui, page, table_view, times_);
    }

    static std::string id_of(const app::StoneCell& cell) {
        return fmt::format("{} {} {} {} {}", cell.finish, cell.kind, word_of(cell.backing), cell.coats, cell.band);
    }

    void draw_cell(Ui& ui, const app::StoneCell& cell, std::string_view column, const Rect& place) const {
        Painter& paint = ui.paint();
        if (column == "kind") {
            paint.text_in(Type::strong, ui.colour(Role::ink), place, cell.kind);
        } else if (column == "finish") {
            paint.text_in(Type::label, ui.colour(Role::text), place, app::cell_words(*studio_, cell));
        } else if (column == "band") {
            paint.text_in(Type::body, ui.colour(Role::text), place, app::band_words(cell.band));
        } else if (column == "seen") {
            paint.text_in(Type::strong, ui.colour(cell.count.seen == 0 ? Role::unknown : Role::ink), place,
                          cell.count.seen == 0 ? fmt::format("untested, {} out", cell.count.not_seen) : fmt::format("{} of {}", cell.count.harmed, cell.count.seen));
        } else if (column == "bar" && cell.count.seen > 0) {
            const auto bar = cell.count.bar();
            interval_bar(ui, place.x0 + ui.em(0.5F), place.x1 - ui.em(0.5F), place.mid_y(),
                         {.low = bar.lower, .high = bar.upper, .share = static_cast<double>(cell.count.harmed) / static_cast<double>(cell.count.seen),
                          .seen = static_cast<int>(cell.count.seen)});
        } else if (column == "words") {
            paint.text_in(Type::label, ui.colour(Role::text), place, cell.count.range_words());
        }
    }

    void draw_due(Ui& ui, Rect page, const Glance& glance, Wishes& wishes) {
        Rect answers = page.cut_bottom(ui.em(6.0F));
        const TableView table_view{
            .id = "due",
            .label = "Looks that are due",
            .columns = {{.id = "stone", .head = "Stone", .width_em = 8.0F}, {.id = "piece", .head = "On", .width_em = 8.0F}, {.id = "kind", .head = "Kind"},
                        {.id = "days", .head = "After its first bath", .width_em = 11.0F}, {.id = "due", .head = "Due", .width_em = 9.0F}},
            .row_count = static_cast<int>(view_.due.size()),
            .empty = "No look is due.",
            .row = [this](int row) {
                const app::FollowUpDue& one = view_.due[static_cast<std::size_t>(row)];
                return TableRow{.id = one.stone, .label = fmt::format("{} on {}, {} days", one.stone, one.piece, one.days)};
            },
            .cell = [this](Ui& drawn, int row, const Column& column, const Rect& place, bool) {
                const app::FollowUpDue& one = view_.due[static_cast<std::size_t>(row)];
                const bool strong = column.id == "stone";
                drawn.paint().text_in(strong ? Type::strong : Type::body, drawn.colour(strong ? Role::ink : Role::text), place,
                                      column.id == "stone"   ? one.stone
                                      : column.id == "piece" ? one.piece
                                      : column.id == "kind"  ? one.kind
                                      : column.id == "days"  ? std::to_string(one.days) + " days"
                                                             : date_text(one.due));
            }};
        table(ui, page, table_view, due_);
        if (view_.due.empty() || glance.read_only) {
            return;
        }
        ui.paint().text(Type::strong, ui.colour(Role::ink), {answers.x0, answers.y0 + ui.em(1.5F)}, fmt::format("{}: what is it like now?", due_.chosen));
        if (!refused_.empty()) {
            ui.paint().text(Type::label, ui.colour(Role::look), {answers.x0 + ui.em(16.0F), answers.y0 + ui.em(1.5F)}, refused_);
        }
        answers.cut_top(ui.em(2.25F));
        struct Answer {
            SeenAs seen;
            Key key;
        };
        Rect line = answers.cut_top(ui.em(3.0F));
        for (const auto& [seen, key] : {Answer{SeenAs::unharmed, Key::u}, {SeenAs::worn, Key::w}, {SeenAs::lifted, Key::f}, {SeenAs::clouded, Key::c},
                                        {SeenAs::dulled, Key::s}, {SeenAs::chipped, Key::p}, {SeenAs::gone, Key::g}, {SeenAs::not_seen, Key::n}}) {
            const std::string words = seen == SeenAs::not_seen ? "not seen" : std::string(word_of(seen));
            const Rect place = line.cut_left(button_width(ui, words, key));
            line.cut_left(ui.em(0.5F));
            if (button_plain(ui, words, place, words, key)) {
                wishes.add(WishForm{{.action = "stone.look", .typed = {{"stone", due_.chosen}, {"seen", std::string(word_of(seen))}}}});
            }
        }
    }

    void draw_before(Ui& ui, Rect page) {
        page.cut_top(ui.em(1.25F));
        Rect line = page.cut_top(ui.em(2.75F));
        std::vector<Option> kinds;
        for (const std::string& kind : view_.kinds) {
            kinds.push_back({.id = kind, .label = kind});
        }
        std::vector<Option> finishes;
        for (const auto& [key, words] : view_.finishes) {
            finishes.push_back({.id = key, .label = words});
        }
        std::vector<Option> backings;
        for (const std::string_view word : EnumWords<Backing>::words) {
            backings.push_back({.id = std::string(word), .label = word == "unknown" ? "back not known" : std::string(word) + (word == "none" ? "" : " back")});
        }
        const float gap = ui.em(1.0F);
        const std::vector<Rect> places = line.columns(std::vector<float>{2.0F, 1.0F, 2.0F}, gap);
        bool changed = choice_list(ui, "kind", places[0], "Stone", kinds, kind_, kind_list_);
        if (changed) {
            backing_ = word_of(view_.backing_of(kind_));
        }
        changed = choice_list(ui, "backing", places[1], "Back", backings, backing_, backing_list_) || changed;
        changed = choice_list(ui, "finish", places[2], "Finish", finishes, finish_, finish_list_) || changed;
        gate_stale_ = gate_stale_ || changed;
        page.cut_top(ui.em(0.75F));
        if (gate_) {
            draw_gate(ui, page, *gate_, gate_scroll_);
        }
    }

    app::Studio* studio_ = nullptr;
    app::StonesView view_;
    std::string part_ = std::string(kBacks), refused_;
    bool asking_back_ = false;
    TableState times_, due_;
    ScrollState groups_scroll_, gate_scroll_;
    std::string kind_, backing_ = "unknown", finish_;
    ChoiceState kind_list_, backing_list_, finish_list_;
    std::optional<app::StoneGate> gate_;
    bool stale_ = false, gate_stale_ = false;
};

}  // namespace

std::unique_ptr<Page> make_stones_page() {
    return std::make_unique<StonesPage>();
}

}  // namespace tonebath::window
