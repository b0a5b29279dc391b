#include "window/panels/tones_panel.hpp"

#include "app/studio.hpp"
#include "app/views/mixed_view.hpp"
#include "app/views/planning_view.hpp"
#include "app/views/tones_view.hpp"
#include "base/text.hpp"
#include "window/panels/findings.hpp"
#include "window/panels/plan_card.hpp"
#include "window/panels/planning_block.hpp"
#include "window/panels/scales.hpp"
#include "window/panels/tone_axis.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr std::size_t kBatchShown = 12;  // a rack; other numbers by command

class TonesPage final : public Page {
public:
    [[nodiscard]] PageName name() const override { return PageName::tones; }
    [[nodiscard]] LoopArc arc() const override { return LoopArc::learn; }
    [[nodiscard]] std::string fact() const override {
        return view_.bath.empty() ? ""
               : view_.bath_temp_c ? "Bath " + view_.bath + " · " + text_of(Celsius::from_celsius(*view_.bath_temp_c), studio_->units())
                                   : "Bath " + view_.bath;
    }

    void lend(app::Reckoner& reckoner) override {
        reckoner_ = &reckoner;
        findings_.lend(reckoner);
        mixed_.forget();
        planning_.forget();
    }

    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned) override {
        studio_ = &studio;
        learned_ = learned;
        findings_.read(learned);
        read_view();
        read_planning();
    }

    void catch_up() override {
        const bool cooled = !view_.bath.empty() && studio_ != nullptr && seconds_between(read_at_, studio_->now()) > 10.0;
        if (stale_ || cooled) {
            read_view();
        }
        if (stale_) {
            read_planning();
        }
        stale_ = false;
        findings_.catch_up();
        mixed_.look();
        planning_.look();
    }

    void choose(std::string_view record) override {
        ask_.scale = std::string(record);
        ask_.aim = -1;
        stale_ = true;
    }

    void show_view(std::string_view view) override {
        findings_.show(view);
        show_usual_ = view == "usual";
        if (view == "curves" || view == "batch" || view == "next") {
            show_ = view;
            stale_ = true;
        }
    }

    [[nodiscard]] double seconds_to_next_change() const override {
        return view_.bath.empty() ? std::numeric_limits<double>::infinity() : 10.0;
    }

    void draw(Ui& ui, const Glance& glance, Wishes& wishes) override {
        Rect page = page_rect(ui);
        const DrawnScale* scale = scales_.drawn(view_.scale);
        if (scale == nullptr) {
            const EmptyView empty{.id = "no scales", .scale = &ui.look().silver, .fact = "No tone scale yet.", .todo = "Add a metal, then the words of its tones.",
                                  .button = "Add a scale", .key = Key::a, .copper = true};
            if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), empty)) {
                wishes.add(WishSheet{.action = "scale.add"});
            }
            return;
        }
        const bool narrow = ui.width() == Width::narrow;
        Rect right = page.cut_right(narrow ? ui.em(18.0F) : ui.em(21.5F));
        page.cut_right(ui.em(2.0F));
        page.cut_top(ui.em(0.75F));
        draw_choices(ui, page.cut_top(ui.em(2.75F)));
        page.cut_top(ui.em(0.75F));
        if (show_usual_) {
            draw_usual(ui, page, glance, wishes);
            draw_plan(ui, right, *scale, glance, wishes);
            return;
        }
        if (!findings_.shown().empty()) {
            const auto scope = ui.scope("findings");
            findings_.draw(ui, page);
            draw_plan(ui, right, *scale, glance, wishes);
            return;
        }
        const float axis_h = tone_axis_height(ui, view_);
        const ToneAxisResult touched = tone_axis(ui, page.cut_top(std::min(axis_h, page.h() * 0.62F)), view_, *scale);
        if (touched.aim) {
            ask_.aim = *touched.aim;
            ask_.scale = view_.scale;
            stale_ = true;
        }
        page.cut_top(ui.em(0.5F));
        const std::string before = show_;
        if (choice_segmented(ui, "show", page.cut_top(ui.em(2.625F)), "Below the strip",
                             {{.id = "curves", .label = "Curves"}, {.id = "batch", .label = "A batch"}, {.id = "next", .label = "The next bath"}}, show_)) {
            stale_ = stale_ || show_ != before;
            planning_scroll_ = {};
        }
        page.cut_top(ui.em(0.5F));
        if (show_ == "curves") {
            draw_curves(ui, page);
        } else {
            const app::PlanningView* planning = planning_.latest();
            planning_block(ui, page, "planning", planning != nullptr ? *planning : app::PlanningView{.words = {"Working it out …"}}, planning_scroll_);
        }
        draw_plan(ui, right, *scale, glance, wishes);
    }

    [[nodiscard]] std::vector<FootHint> hints() const override {
        return {{.id = "strip.lay-out", .cap = "S", .words = "dip a strip", .key = Key::s},
                {.id = "judgement.add", .cap = "J", .words = "judge", .key = Key::j},
                {.id = "target.add", .cap = "G", .words = "add a target", .key = Key::g},
                {.id = "findings", .cap = "D", .words = findings_.shown().empty() ? "drift, groups" : "the records", .key = Key::d},
                {.id = "scale.add", .cap = "A", .words = "add a scale", .key = Key::a},
                {.id = "usual", .cap = "U", .words = show_usual_ ? "the records" : "what is usual", .key = Key::u}};
    }

    void hint_used(std::string_view id, Wishes& wishes) override {
        if (id == "usual") {
            show_view(show_usual_ ? "" : "usual");
            return;
        }
        if (id == "findings") {
            show_view(findings_.shown().empty() ? "drift" : "");
            return;
        }
        WishSheet sheet{.action = std::string(id)};
        if (id == "strip.lay-out" && !view_.bath.empty()) {
            sheet.filled["bath"] = view_.bath;
        }
        const app::ScaleView* scale = scales_.view(view_.scale);
        if (scale != nullptr && id == "strip.lay-out") {
            sheet.filled["metal"] = scale->metal;
        } else if (scale != nullptr && (id == "tone.rename" || id == "target.add")) {
            sheet.filled["scale"] = scale->surface.empty() ? scale->metal : scale->metal + ", " + scale->surface;
        }
        wishes.add(std::move(sheet));
    }

private:
    void read_view() {
        view_ = app::tones_view(*studio_, learned_, ask_);
        scales_.read(view_.scales);
        if (const app::ScaleView* scale = scales_.view(view_.scale)) {
            findings_.set_scale(scale->surface.empty() ? scale->metal : scale->metal + ", " + scale->surface);
        }
        read_at_ = studio_->now();
        read_mixed();
    }

    // A piece of two metals that waits for this dip: where its other parts would be.
    void read_mixed() {
        const app::ScaleView* scale = scales_.view(view_.scale);
        if (!learned_ || scale == nullptr || !view_.bath_id || !view_.plan || view_.plan->refusal || view_.aim < 0 || static_cast<std::size_t>(view_.aim) >= scale->tones.size()) {
            mixed_.forget();
            return;
        }
        const app::PlanRequest request{.bath_id = *view_.bath_id, .scale_id = scale->id, .tone_id = scale->tones[static_cast<std::size_t>(view_.aim)].id};
        mixed_.ask(*reckoner_, [learned = learned_, request](app::Studio& studio, const app::StillWanted&) { return app::mixed_waiting(studio, *learned, request); });
    }

    // Only what is shown: the next bath's table takes a tenth of a second.
    void read_planning() {
        const app::ScaleView* scale = scales_.view(view_.scale);
        if (show_ == "curves" || scale == nullptr || view_.aim < 0 || static_cast<std::size_t>(view_.aim) >= scale->tones.size()) {
            planning_.forget();
            return;
        }
        const std::string of = show_ + scale->id.text + std::to_string(view_.aim);
        if (of != planning_of_) {
            planning_.forget();
            planning_of_ = of;
        }
        planning_.ask(*reckoner_, [learned = learned_, batch = show_ == "batch", scale_id = scale->id, tone = scale->tones[static_cast<std::size_t>(view_.aim)].id](
                                      app::Studio& studio, const app::StillWanted&) {
            return batch ? app::batch_view(studio, learned, scale_id, tone, kBatchShown) : app::next_bath_view(studio, learned, scale_id, tone);
        });
        planning_.look();
    }

    // Which scale, and what is looked at: its records, what is usual, or what the log shows of the studio.
    void draw_choices(Ui& ui, Rect place) {
        const bool narrow = ui.width() == Width::narrow;
        std::vector<Option> options;
        std::string chosen = view_.scale;
        for (const app::ScaleView& scale : view_.scales) {
            options.push_back({.id = scale.id.text, .label = scale.name, .note = std::to_string(scale.records)});
        }
        if (choice_list(ui, "scale", place.cut_left(ui.em(narrow ? 13.0F : 15.5F)), "Scale", options, chosen, list_)) {
            ask_ = {.scale = chosen};
            stale_ = true;
        }
        place.cut_left(ui.em(1.0F));
        const std::vector<Option> looks{{.id = "records", .label = "Records"}, {.id = "usual", .label = "What is usual"}, {.id = "drift", .label = "Drift"},
                                        {.id = "groups", .label = "Groups"}, {.id = "promises", .label = "Promises"}};
        std::string look = show_usual_ ? "usual" : findings_.shown().empty() ? "records" : findings_.shown();
        if (narrow ? choice_list(ui, "look", place.cut_left(ui.em(12.0F)), "Shown", looks, look, look_list_) : choice_segmented(ui, "look", place, "Shown", looks, look)) {
            show_view(look);
        }
    }

    // Each figure the model starts from, with its range, source and trust; Enter puts the studio's own in its place.
    void draw_usual(Ui& ui, Rect place, const Glance& glance, Wishes& wishes) {
        const Rect head = place.cut_top(ui.em(2.0F));
        section_head(ui, head, head.y0 + ui.em(1.0F), "What is usual, before strips speak", "on dose; in brackets 80 of 100");
        for (const std::string& words : view_.choices) {
            ui.paint().text_in(Type::label, ui.colour(Role::quiet), place.cut_top(ui.em(1.5F)), words);
        }
        TableView table_view{.id = "usual", .label = "What is usual", .row_count = static_cast<int>(view_.usual.size()), .row_em = 2.5F,
                             .empty = "Nothing is usual."};
        table_view.columns = {{.id = "name", .head = "Figure"}, {.id = "value", .head = "Usual", .width_em = 12.0F}, {.id = "trust", .head = "Trust", .width_em = 6.0F},
                              {.id = "source", .head = "From"}};
        table_view.row = [this](int row) {
            const app::UsualFigure& one = view_.usual[static_cast<std::size_t>(row)];
            return TableRow{.id = one.key, .label = one.name + ": " + app::usual_text(one.middle, one.low, one.high, one.unit) + ", trust " + one.trust + ", " + one.source};
        };
        table_view.cell = [this](Ui& cell_ui, int row, const Column& column, const Rect& cell, bool chosen) {
            const app::UsualFigure& one = view_.usual[static_cast<std::size_t>(row)];
            const Type type = chosen || one.own ? Type::strong : Type::body;
            const std::string text = column.id == "name"    ? one.name
                                     : column.id == "value" ? app::usual_text(one.middle, one.low, one.high, one.unit)
                                     : column.id == "trust" ? one.trust
                                                            : one.source;
            cell_ui.paint().text_in(column.id == "source" ? Type::label : type, cell_ui.colour(column.id == "source" ? Role::quiet : Role::ink), cell, text);
        };
        const TableResult result = table(ui, place, table_view, usual_table_);
        if (!result.opened.empty() && !glance.read_only) {
            wishes.add(WishSheet{.action = "usual.set", .filled = {{"figure", result.opened}}});
        }
    }

    void draw_curves(Ui& ui, const Rect& place) {
        std::vector<Rect> sides = ui.width() == Width::narrow ? std::vector<Rect>{place} : place.columns(2, ui.em(1.0F));
        draw_curve(ui, sides[0], "heat", "Time to " + view_.aim_word + " by heat", counted(view_.strips, "record", "records"), view_.by_heat,
                   {.unit = "°C", .most_ticks = 4}, {.unit = "s", .unit_on_all = false, .most_ticks = 3}, view_.bath_temp_c, heat_plot_);
        if (sides.size() > 1) {
            draw_curve(ui, sides[1], "hours", "Strength by hours stood", "", view_.by_hours, {.unit = "h", .most_ticks = 4},
                       {.most_ticks = 2}, view_.bath_age_h, hours_plot_);
        }
    }

    static void draw_curve(Ui& ui, const Rect& place, std::string_view id, std::string_view head, std::string_view note,
                           const std::vector<app::CurvePoint>& points, Axis x, Axis y, const std::optional<double>& now, PlotState& state) {
        Rect card = begin_card(ui, place);
        section_head(ui, card, card.y0 + ui.em(0.75F), head, note);
        card.cut_top(ui.em(1.75F));
        if (points.size() < 2) {
            ui.paint().text_wrapped(Type::body, ui.colour(Role::text), {card.x0, card.y0 + ui.em(1.5F)}, card.w(),
                                    "Nothing learned yet: dip a strip, and this curve begins.");
            end_card(ui);
            return;
        }
        PlotView view{.id = std::string(id), .label = std::string(head)};
        PlotLine line{.name = std::string(head)};
        PlotBand band{.name = "80 of 100"};
        double top = 0.0;
        for (const app::CurvePoint& point : points) {
            line.points.push_back({point.x, point.y});
            band.low.push_back({point.x, point.low});
            band.high.push_back({point.x, point.high});
            top = std::max(top, point.y);
        }
        x.low = points.front().x;
        x.high = points.back().x;
        y.low = 0.0;
        y.high = 1.3 * top;
        view.x = x;
        view.y = y;
        view.bands = {band};
        view.lines = {line};
        if (now && *now >= x.low && *now <= x.high) {
            view.now = PlotNow{.x = *now, .words = fixed_text(*now, 1) + " " + x.unit};
        }
        plot(ui, card, view, state);
        end_card(ui);
    }

    void draw_plan(Ui& ui, const Rect& place, const DrawnScale& scale, const Glance& glance, Wishes& wishes) {
        PlanCardView view{.scale = &scale, .bath = view_.bath, .aim_word = view_.aim_word, .aim = view_.aim,
                                .plan = view_.plan && !view_.plan->refusal ? &*view_.plan : nullptr, .no_plan_words = view_.no_plan_words,
                                .can_write = !glance.read_only && !view_.bath.empty(), .scroll = &plan_scroll_};
        if (const app::MixedView* mixed = mixed_.latest()) {
            view.mixed_piece = mixed->piece;
            view.mixed = mixed->words;
        }
        switch (plan_card(ui, place, view)) {
            case PlanCardUse::strip: {
                WishSheet sheet{.action = "strip.lay-out", .filled = {{"bath", view_.bath}}};
                if (const app::ScaleView* own = scales_.view(view_.scale)) {
                    sheet.filled["metal"] = own->metal;
                }
                wishes.add(std::move(sheet));
                break;
            }
            case PlanCardUse::start:
                wishes.add(WishPage{.page = PageName::bench});
                break;
            case PlanCardUse::none:
                break;
        }
    }

    app::Studio* studio_ = nullptr;
    std::shared_ptr<const app::Learned> learned_;
    app::TonesView view_;
    app::Reckoned<app::PlanningView> planning_;
    std::string planning_of_;          // what is shown, of which scale and tone
    std::string show_ = "curves";
    ScrollState planning_scroll_, plan_scroll_;
    app::Reckoner* reckoner_ = nullptr;
    app::Reckoned<app::MixedView> mixed_;
    app::TonesAsk ask_;
    Stamp read_at_;
    bool stale_ = false;
    Scales scales_;
    ChoiceState list_, look_list_;
    Findings findings_;
    bool show_usual_ = false;
    TableState usual_table_;
    PlotState heat_plot_, hours_plot_;
};

}  // namespace

std::unique_ptr<Page> make_tones_page() { return std::make_unique<TonesPage>(); }

}  // namespace tonebath::window
