#include "window/panels/stones_panel.hpp"

#include "app/reckoner.hpp"
#include "app/studio.hpp"
#include "app/views/stones_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "window/panels/stones_due.hpp"
#include "window/panels/stones_register.hpp"
#include "window/panels/stones_rows.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>
#include <utility>

namespace tonebath::window {

namespace {

constexpr std::string_view kBacks = "backs", kTimes = "times", kDue = "due", kGate = "gate", kWhere = "where", kRegister = "register", kFigures = "figures";
constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

class StonesPage final : public Page {
public:
    [[nodiscard]] PageName name() const override { return PageName::stones; }
    [[nodiscard]] LoopArc arc() const override { return LoopArc::learn; }
    [[nodiscard]] std::string fact() const override {
        return view().rows.empty() ? "" : fmt::format("{} of {} seen", view().seen, view().rows.size());
    }

    void lend(app::Reckoner& reckoner) override {
        reckoner_ = &reckoner;
        reckoned_.forget();
        take_up();
    }

    // Every stone with its baths and looks is a long way to read: only while the page is shown, and not on its thread.
    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>&) override {
        studio_ = &studio;
        stale_ = true;
    }

    void catch_up() override {
        if (std::exchange(stale_, false)) {
            reckoned_.ask(*reckoner_, [](app::Studio& studio, const app::StillWanted&) { return app::stones_view(studio); });
        }
        if (reckoned_.look()) {
            take_up();
        }
        if (part_ == kGate && std::exchange(gate_stale_, false)) {
            read_gate();
        }
        if (part_ == kRegister && reckoned_.latest() != nullptr) {
            register_.catch_up(*studio_, view());
        }
    }

    // The stone's story; its kind and back, held against a finish, stand ready beside it.
    void choose(std::string_view record) override {
        wanted_ = record;
        catch_up();
        if (reckoned_.latest() != nullptr) {
            find_wanted();
        }
    }

    void show_view(std::string_view view) override {
        if (view == kFigures) {
            figures_wanted_ = true;
            show_figures();
        }
        constexpr std::array kParts{kBacks, kTimes, kDue, kGate, kWhere, kRegister};
        if (std::ranges::find(kParts, view) != kParts.end()) {
            part_ = view;
        }
    }
    void told(const Told& told) override { due_.told(told, view()); }

    void draw(Ui& ui, const Glance& glance, Wishes& wishes) override {
        Rect page = page_rect(ui);
        if (reckoned_.latest() == nullptr) {
            words_card(ui, page, "Working it out …");
            return;
        }
        if (view().rows.empty() && part_ != kGate) {
            if (draw_no_stones(ui, page, glance.read_only)) {
                wishes.add(WishSheet{.action = "stone.add"});
            }
            return;
        }
        page.cut_top(ui.em(0.75F));
        const std::vector<Option> parts{{.id = std::string(kBacks), .label = "By coats and bottle"},
                                        {.id = std::string(kTimes), .label = "By time in the bath"},
                                        {.id = std::string(kDue), .label = "Looks due", .note = std::to_string(due_.count())},
                                        {.id = std::string(kGate), .label = "Before a bath"},
                                        {.id = std::string(kWhere), .label = "Where harmed"},
                                        {.id = std::string(kRegister), .label = "Register"}};
        choice_segmented(ui, "part", page.cut_top(ui.em(2.75F)), "Part of the page", parts, part_);
        page.cut_top(ui.em(0.75F));
        if (part_ == kTimes) {
            draw_times(ui, page);
        } else if (part_ == kDue) {
            due_.draw(ui, page, view(), glance, wishes);
        } else if (part_ == kGate) {
            draw_before(ui, page);
        } else if (part_ == kRegister) {
            register_.draw(ui, page, view());
        } else if (part_ == kWhere) {
            section_head(ui, page, page.y0 + ui.em(1.25F), "Where stones were harmed", "stones seen harmed, by zone and size");
            page.cut_top(ui.em(2.0F));
            draw_damage(ui, page, view().damage);
        } else if (opened_ < view().ask_back.size()) {
            draw_finding(ui, page);
        } else {
            draw_backs(ui, page);
        }
    }

    [[nodiscard]] std::vector<FootHint> hints() const override {
        return {{.id = "stone.look", .cap = "L", .words = "log a look", .key = Key::l},
                {.id = std::string(kTimes), .cap = "T", .words = "by time", .key = Key::t},
                {.id = std::string(kDue), .cap = "D", .words = "looks due", .key = Key::d},
                {.id = std::string(kGate), .cap = "B", .words = "before a bath", .key = Key::b},
                {.id = "ask", .cap = "A", .words = opened_ != kNone ? "back to the groups" : "ask for it back", .key = Key::a}};
    }
    void hint_used(std::string_view id, Wishes& wishes) override {
        if (id == "ask") {
            open_finding(opened_ == kNone ? 0 : kNone);
        } else if (id.find('.') != std::string_view::npos) {
            WishSheet sheet{.action = std::string(id)};
            const std::string& stone = part_ == kDue ? due_.chosen() : part_ == kRegister ? register_.chosen() : std::string();
            if (!stone.empty()) {
                sheet.filled["stone"] = stone;
            }
            wishes.add(std::move(sheet));
        } else {
            show_view(id);
        }
    }

private:
    [[nodiscard]] const app::StonesView& view() const {
        static const app::StonesView kNothing;
        return reckoned_.latest() == nullptr ? kNothing : *reckoned_.latest();
    }

    // Another answer came, or none stands any more.
    void take_up() {
        if (opened_ != kNone && opened_ >= view().ask_back.size()) {
            opened_ = kNone;
        }
        due_.take_up(view());
        if (times_.chosen.empty() && !view().cells.empty()) {
            times_.chosen = id_of(view().cells.front());
        }
        if (kind_.empty() && !view().kinds.empty()) {
            kind_ = view().kinds.front();
            backing_ = word_of(view().backing_of(kind_));
        }
        if (finish_.empty() && !view().finishes.empty()) {
            finish_ = view().finishes.front().first;
        }
        gate_stale_ = true;
        register_.stale();
        find_wanted();
        show_figures();
    }

    void show_figures() {
        if (figures_wanted_ && reckoned_.latest() != nullptr) {
            open_finding(0);
            figures_wanted_ = false;
        }
    }

    void find_wanted() {
        const auto row = std::ranges::find_if(view().rows, [this](const app::StoneRow& one) { return one.id.text == wanted_ || one.number == wanted_; });
        if (row != view().rows.end()) {
            part_ = part_ == kGate ? kGate : kRegister;
            register_.choose(view(), row->number);
            kind_ = row->kind;
            backing_ = word_of(row->backing);
            gate_stale_ = true;
        }
        wanted_.clear();
    }

    void read_gate() {
        gate_.reset();
        if (kind_.empty() || finish_.empty()) {
            return;
        }
        if (auto gate = app::stone_gate(*studio_, view().cells, kind_, from_word<Backing>(backing_).value_or(Backing::unknown), finish_)) {
            gate_ = std::move(gate).value();
        }
    }

    // The stones of a finding and its figures; where nothing is found, nothing is opened.
    void open_finding(std::size_t finding) {
        part_ = kBacks;
        opened_ = finding < view().ask_back.size() ? finding : kNone;
        figures_scroll_ = {};
        plot_ = {};
    }

    void draw_backs(Ui& ui, Rect page) {
        Rect head = page.cut_top(ui.em(2.5F));
        page_head(ui, head.x0, head.y0 + ui.em(1.5F), "Foil backs, by coats and bottle");
        draw_stone_legend(ui, head);
        if (view().study.groups.empty()) {
            ui.paint().text_in(Type::body, ui.colour(Role::text), page.cut_top(ui.em(3.0F)),
                               "No foil backs are written down. Other stones stand under \"By time in the bath\".");
            return;
        }
        Rect foot = page.cut_bottom(ui.em(1.75F));
        ui.paint().text(Type::label, ui.colour(Role::quiet), {foot.x0, foot.y1 - ui.em(0.375F)},
                        "Bars: two-sided, 19 in 20 (Wilson). All times in the bath stand together here; they are apart under \"By time in the bath\".");
        const std::vector<const app::BottleFinding*> findings = view().findings();
        Rect notes = page.cut_bottom((notice_height(ui) + ui.em(0.5F)) * static_cast<float>(findings.size()));
        for (std::size_t i = 0; i < findings.size(); ++i) {
            const app::BottleFinding& finding = *findings[i];
            notes.cut_top(ui.em(0.5F));
            if (notice(ui, notes.cut_top(notice_height(ui)),
                       {.id = finding.head, .mark = Mark::ask, .what = finding.head, .why = finding.words,
                        .button = fmt::format("Figures; ask these {} back", finding.stones.size()), .key = {}})) {
                open_finding(i);
            }
        }
        page.cut_bottom(ui.em(0.5F));
        draw_bottle_groups(ui, page, view().study, groups_scroll_);
    }

    void draw_finding(Ui& ui, Rect page) {
        Rect figures = page.cut_right(page.w() * 0.5F);
        page.cut_right(ui.em(2.0F));
        draw_trace(ui, page, view().ask_back[opened_], ask_scroll_);
        draw_figures(ui, figures, *view().findings()[opened_], figures_scroll_, plot_);
    }

    void draw_times(Ui& ui, Rect page) {
        Rect foot = page.cut_bottom(ui.em(5.0F));
        const auto chosen = std::ranges::find_if(view().cells, [this](const app::StoneCell& cell) { return id_of(cell) == times_.chosen; });
        if (chosen != view().cells.end()) {
            ui.paint().text(Type::label, ui.colour(Role::ink), {foot.x0, foot.y0 + ui.em(1.5F)}, chosen->count.words() + (chosen->count.seen == 0 ? "" : " (Wilson); " + chosen->count.exact_words()) + ".");
            ui.paint().text_wrapped(Type::label, ui.colour(Role::text), {foot.x0, foot.y0 + ui.em(3.0F)}, foot.w(), chosen->count.refusal_words() + " Bars are two-sided, 19 in 20 (Wilson). Untested is not unharmed.");
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
            .row_count = static_cast<int>(view().cells.size()),
            .empty = "No stone has met a bath yet.",
            .row = [this](int row) {
                const app::StoneCell& cell = view().cells[static_cast<std::size_t>(row)];
                return TableRow{.id = id_of(cell), .label = fmt::format("{}, {}: {}", cell.kind, app::band_words(cell.band), cell.count.words())};
            },
            .cell = [this](Ui& drawn, int row, const Column& column, const Rect& place, bool) {
                const app::StoneCell& cell = view().cells[static_cast<std::size_t>(row)];
                draw_stone_cell(drawn, cell, column.id == "finish" ? app::cell_words(*studio_, cell) : std::string(), column.id, place);
            }};
        table(ui, page, table_view, times_);
    }

    static std::string id_of(const app::StoneCell& cell) {
        return fmt::format("{} {} {} {} {}", cell.finish, cell.kind, word_of(cell.backing), cell.coats, cell.band);
    }

    void draw_before(Ui& ui, Rect page) {
        page.cut_top(ui.em(1.25F));
        Rect line = page.cut_top(ui.em(2.75F));
        std::vector<Option> kinds;
        for (const std::string& kind : view().kinds) {
            kinds.push_back({.id = kind, .label = kind});
        }
        std::vector<Option> finishes;
        for (const auto& [key, words] : view().finishes) {
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
            backing_ = word_of(view().backing_of(kind_));
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
    app::Reckoner* reckoner_ = nullptr;
    app::Reckoned<app::StonesView> reckoned_;
    std::string part_ = std::string(kBacks);
    std::string wanted_;                 // number or id of a stone to be shown as soon as the stones are read
    bool figures_wanted_ = false;        // of the first finding, as soon as the stones are read
    std::size_t opened_ = kNone;         // finding with its figures
    TableState times_;
    StonesDue due_;
    PlotState plot_;
    StonesRegister register_;
    ScrollState groups_scroll_, gate_scroll_, figures_scroll_, ask_scroll_;
    std::string kind_, backing_ = "unknown", finish_;
    ChoiceState kind_list_, backing_list_, finish_list_;
    std::optional<app::StoneGate> gate_;
    bool stale_ = false, gate_stale_ = false;
};

}  // namespace

std::unique_ptr<Page> make_stones_page() { return std::make_unique<StonesPage>(); }

}  // namespace tonebath::window
