#include "window/panels/baths_panel.hpp"

#include "app/answers.hpp"
#include "app/learning.hpp"
#include "app/lot_ageing.hpp"
#include "app/reckoner.hpp"
#include "app/studio.hpp"
#include "app/views/baths_view.hpp"
#include "base/text.hpp"
#include "window/panels/bath_picture.hpp"
#include "window/panels/jar_block.hpp"
#include "window/panels/scales.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/table.hpp"

#include <algorithm>
#include <utility>

namespace tonebath::window {

namespace {

Mark mark_of(app::BathState state) {
    return state == app::BathState::in_use ? Mark::now : state == app::BathState::owed ? Mark::owed : Mark::done;
}

// A jar: shoulders, a neck line, and how full it is by the scale.
void draw_jar(Ui& ui, const Rect& r, const std::optional<double>& full) {
    const float q = ui.em(0.4F);
    const std::array<Vec2, 6> outline{Vec2{r.x0 + q, r.y0}, Vec2{r.x1 - q, r.y0}, Vec2{r.x1, r.y0 + q},
                                      Vec2{r.x1, r.y1},     Vec2{r.x0, r.y1},     Vec2{r.x0, r.y0 + q}};
    ui.paint().polyline(outline, ui.colour(Role::edge), ui.paint().fine(1.2F), true);
    ui.paint().hline(r.x0 + q, r.x1 - q, std::round(r.y0 + ui.em(0.35F)), ui.colour(Role::edge), ui.px(1));
    if (full && *full > 0.0) {
        const Rect inside = r.shrunk(ui.px(3));
        const float h = (inside.h() - ui.em(0.6F)) * static_cast<float>(*full);
        ui.paint().fill({inside.x0, inside.y1 - h, inside.x1, inside.y1}, mix(ui.colour(Role::wire_light), ui.colour(Role::look), 0.2F).faded(0.75F));
    }
}

class BathsPage final : public Page {
public:
    [[nodiscard]] PageName name() const override { return PageName::baths; }
    [[nodiscard]] LoopArc arc() const override { return LoopArc::record; }
    [[nodiscard]] std::string fact() const override {
        return portrait_ && portrait_->temp_now_c
                   ? "Bath " + portrait_->history.bath.number + " · " + text_of(Celsius::from_celsius(*portrait_->temp_now_c), studio_->units())
                   : std::string();
    }

    void lend(app::Reckoner& reckoner) override {
        reckoner_ = &reckoner;
        learned_.reset();
        ages_.forget();
        jars_.chosen.clear();
    }

    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned) override {
        studio_ = &studio;
        learned_ = learned ? learned : learned_;
        ages_stale_ = true;
        if (learned) {
            laws_ = app::laws_of(*learned);
        }
        scales_.read(app::scales_view(studio));
        list_ = app::baths_list(studio);
        const bool still = std::any_of(list_.baths.begin(), list_.baths.end(),
                                       [this](const app::BathRow& row) { return row.id.text == table_.chosen; });
        if (!still) {
            table_.chosen = list_.baths.empty() ? "" : list_.baths.front().id.text;
        }
        read_portrait();
    }

    void catch_up() override {
        if (portrait_stale_) {
            read_portrait();
        }
        portrait_stale_ = false;
        if (std::exchange(jar_asked_, false) && jars_.chosen.empty()) {
            next_jar();
        }
        if (ages_stale_ && learned_ && !jars_.chosen.empty()) {
            ages_stale_ = false;
            ages_.ask(*reckoner_, [learned = learned_](app::Studio& studio, const app::StillWanted&) { return app::lot_ageing(studio, *learned); }, app::Pace::slow);
        }
        ages_.look();
    }

    void show_view(std::string_view view) override {
        jar_asked_ = view == "jar";
    }

    void choose(std::string_view record) override {
        for (const app::JarRow& jar : list_.jars) {
            if (jar.id.text == record || jar.number == record) {
                jars_.chosen = jar.id.text;
                jars_.reveal = true;
            }
        }
        for (const app::BathRow& row : list_.baths) {
            if (row.id.text == record || row.number == record) {
                jars_.chosen.clear();
                table_.chosen = row.id.text;
                table_.reveal = true;
                portrait_stale_ = true;
            }
        }
    }

    void draw(Ui& ui, const Glance& glance, Wishes& wishes) override {
        Rect page = page_rect(ui);
        if (list_.baths.empty() && list_.jars.empty()) {
            const EmptyView view{.id = "empty", .scale = &ui.look().silver, .fact = "No jar and no bath yet.",
                                 .todo = "Write down the jar first: its form, how much, when it was opened.",
                                 .button = "Add the first jar", .key = Key::a, .copper = !glance.read_only};
            if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), view)) {
                wishes.add(WishSheet{.action = "lot.add"});
            }
            return;
        }
        Rect left = page.cut_left(ui.em(17.5F));
        page.cut_left(ui.em(2.0F));
        if (ui.pressed(Key::g)) {
            next_jar();
        }
        draw_lists(ui, left);
        if (!jars_.chosen.empty()) {
            draw_ageing(ui, page, glance);
            return;
        }
        if (!portrait_) {
            const EmptyView view{.id = "no bath", .scale = &ui.look().silver, .fact = "No bath made up yet.",
                                 .todo = "Make one up from a jar; its readings and strips hang here on one time line.",
                                 .button = "Make up a bath", .key = Key::m, .copper = !glance.read_only};
            if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), view)) {
                wishes.add(WishSheet{.action = "bath.make-up"});
            }
            return;
        }
        draw_head(ui, page.cut_top(ui.em(3.25F)));
        Rect below = page.cut_bottom(ui.em(10.25F));
        page.cut_bottom(ui.em(0.75F));
        bath_picture(ui, page, *portrait_, scales_, plot_);
        Rect left_in_bath = below.cut_right(ui.em(19.5F));
        below.cut_right(ui.em(3.0F));
        upright_divider(ui, left_in_bath.x0 - ui.em(1.5F), left_in_bath.y0 + ui.em(0.5F), left_in_bath.y1);
        draw_reading(ui, below, glance, wishes);
        draw_left(ui, left_in_bath);
    }

    [[nodiscard]] std::vector<FootHint> hints() const override {
        return {{.id = "reading", .cap = "R", .words = "reading", .key = Key::r},
                {.id = "bath.make-up", .cap = "M", .words = "make up", .key = Key::m},
                {.id = "bath.top-up", .cap = "T", .words = "top up", .key = Key::t},
                {.id = "bath.end", .cap = "E", .words = "end of the bath", .key = Key::e},
                {.id = "lot.add", .cap = "J", .words = "add a jar", .key = Key::j}};
    }

    void hint_used(std::string_view id, Wishes& wishes) override {
        if (id == "reading") {
            reading_asked_ = true;
            return;
        }
        WishSheet sheet{.action = std::string(id)};
        if (portrait_ && id != "lot.add" && id != "bath.make-up") {
            sheet.filled["bath"] = portrait_->history.bath.number;
        }
        wishes.add(std::move(sheet));
    }

    void told(const Told& told) override {
        if (told.form.action != "bath.read") {
            return;
        }
        if (told.answer) {
            reading_.set("");
            refusal_.reset();
            asked_form_.reset();
            reading_written_ = true;
        } else {
            refusal_ = told.answer.error();
            asked_form_ = told.form;
            reading_.edit.mark_all();  // typing anew replaces it
        }
    }

    // A running bath cools: its figures move about once in ten seconds.
    [[nodiscard]] double seconds_to_next_change() const override {
        return portrait_ && portrait_->in_use ? 10.0 : std::numeric_limits<double>::infinity();
    }

private:
    void read_portrait() {
        portrait_ = table_.chosen.empty() ? std::nullopt : app::bath_portrait(*studio_, {table_.chosen}, laws_);
        portrait_read_ = studio_->now();
    }

    void draw_lists(Ui& ui, Rect left) {
        Rect jars = left.cut_bottom(std::min(left.h() * 0.52F, ui.em(4.25F) + ui.em(3.875F) * static_cast<float>(list_.jars.size())));
        section_head(ui, left, left.y0 + ui.em(1.25F), "Baths", counted(list_.baths.size(), "so far", "so far"));
        left.cut_top(ui.em(2.0F));
        TableView view{.id = "baths", .label = "Baths", .row_count = static_cast<int>(list_.baths.size()), .row_em = 4.25F, .head = false,
                       .empty = "No bath made up yet."};
        view.columns = {{.id = "tag", .width_em = 6.0F}, {.id = "words"}};
        view.row = [this](int i) {
            const app::BathRow& row = list_.baths[static_cast<std::size_t>(i)];
            return TableRow{.id = row.id.text, .label = "Bath " + row.number + ", " + row.line};
        };
        view.cell = [this](Ui& cell, int i, const Column& column, const Rect& place, bool chosen) {
            const app::BathRow& row = list_.baths[static_cast<std::size_t>(i)];
            if (column.id == "tag") {
                number_tag(cell, TagShape::bath, "Bath " + row.number, place.x0, place.mid_y());
                return;
            }
            cell.paint().text(chosen ? Type::strong : Type::body, cell.colour(Role::ink), {place.x0, place.mid_y() - cell.em(0.2F)},
                              cell.paint().ellipsis(Type::strong, place.w(), row.line));
            cell.paint().text(Type::label, cell.colour(Role::text), {place.x0, place.mid_y() + cell.em(1.1F)},
                              cell.paint().ellipsis(Type::label, place.w() - cell.em(1.25F), row.more));
            if (row.state == app::BathState::owed || row.state == app::BathState::gone) {
                draw_mark(cell, mark_of(row.state), {place.x1 - cell.em(0.5F), place.mid_y() + cell.em(0.8F)}, cell.em(0.45F));
            }
        };
        // While a jar is shown no bath is: any row of the baths leads back to it.
        TableState shown = table_;
        if (!jars_.chosen.empty()) {
            shown.chosen.clear();
        }
        table(ui, left, view, shown);
        if (shown.chosen.empty()) {
            shown.chosen = table_.chosen;
        } else {
            jars_.chosen.clear();
        }
        portrait_stale_ = portrait_stale_ || table_.chosen != shown.chosen;
        table_ = shown;

        section_head(ui, jars, jars.y0 + ui.em(2.0F), "Jars and bottles", list_.jars.empty() ? "" : "G: how they age");
        jars.cut_top(ui.em(3.0F));
        TableView jar_view{.id = "jars", .label = "Jars and bottles", .row_count = static_cast<int>(list_.jars.size()), .row_em = 3.875F, .head = false, .arrows_always = false,
                           .empty = "No jar yet."};
        jar_view.columns = {{.id = "jar"}};
        jar_view.row = [this](int i) {
            const app::JarRow& jar = list_.jars[static_cast<std::size_t>(i)];
            return TableRow{.id = jar.id.text, .label = jar.number + ", " + jar.line + ", " + jar.more};
        };
        jar_view.cell = [this](Ui& cell, int i, const Column&, const Rect& row, bool) {
            const app::JarRow& jar = list_.jars[static_cast<std::size_t>(i)];
            draw_jar(cell, Rect::at(row.x0, row.y0 + cell.em(0.5F), cell.em(2.875F), cell.em(2.75F)), jar.full);
            const float x = row.x0 + cell.em(4.0F);
            const float w = cell.paint().text(Type::strong, cell.colour(Role::ink), {x, row.y0 + cell.em(1.5F)}, jar.number);
            cell.paint().text(Type::label, cell.colour(Role::text), {x + w + cell.em(0.75F), row.y0 + cell.em(1.5F)}, jar.line);
            cell.paint().text(Type::label, cell.colour(Role::text), {x, row.y0 + cell.em(2.75F)}, cell.paint().ellipsis(Type::label, row.x1 - x - cell.em(1.5F), jar.more));
            if (jar.asks) {
                draw_mark(cell, Mark::unknown, {row.x1 - cell.em(0.25F), row.y0 + cell.em(2.45F)}, cell.em(0.5F));
            }
        };
        table(ui, jars, jar_view, jars_);
    }

    // One that ages after another; after the last the bath is shown again.
    void next_jar() {
        const auto at = std::ranges::find(list_.jars, jars_.chosen, [](const app::JarRow& jar) { return jar.id.text; });
        const auto next = std::find_if(at == list_.jars.end() ? list_.jars.begin() : at + 1, list_.jars.end(), [](const app::JarRow& jar) { return jar.ages; });
        jars_.chosen = next == list_.jars.end() ? std::string() : next->id.text;
        jars_.reveal = true;
    }

    void draw_ageing(Ui& ui, const Rect& place, const Glance& glance) {
        const std::vector<app::LotAgeing>* all = ages_.latest();
        if (all == nullptr) {
            words_card(ui, place, learned_ ? "Working it out …" : "Reading what the log has taught …");
            return;
        }
        const auto one = std::ranges::find(*all, jars_.chosen, [](const app::LotAgeing& lot) { return lot.id.text; });
        if (one == all->end()) {
            words_card(ui, place, "This finish has no dose, so no strip tells how the bottle ages. Its date stands with it in the register of page Safety.");
            return;
        }
        jar_block(ui, place, *one, glance.now, jar_plot_, jar_scroll_);
    }

    void draw_head(Ui& ui, const Rect& head) {
        const Bath& bath = portrait_->history.bath;
        const Rect tag = number_tag(ui, TagShape::bath, "Bath " + bath.number, head.x0, head.y0 + ui.em(1.4F), {.height_em = 2.25F});
        float right = head.x1;
        if (portrait_->in_use && portrait_->throw_by) {
            const bool another_day = seconds_between(bath.made_up_at, *portrait_->throw_by) > 12.0 * 3600.0;
            const std::string words = "throw by " + (another_day ? date_time_text(*portrait_->throw_by) : time_text(*portrait_->throw_by));
            ui.paint().text(Type::strong, ui.colour(Role::ink), {head.x1, head.y0 + ui.em(1.0F)}, words, Align::right);
            ui.paint().text(Type::label, ui.colour(Role::text), {head.x1, head.y0 + ui.em(2.375F)}, "three times slower by then", Align::right);
            right -= ui.em(12.0F);
        }
        const float x = tag.x1 + ui.em(1.375F);
        ui.paint().text(Type::strong, ui.colour(Role::ink), {x, head.y0 + ui.em(1.0F)}, ui.paint().ellipsis(Type::strong, right - x, portrait_->title));
        ui.paint().text(Type::label, ui.colour(Role::text), {x, head.y0 + ui.em(2.375F)}, ui.paint().ellipsis(Type::label, right - x, portrait_->line));
    }

    void draw_reading(Ui& ui, Rect place, const Glance& glance, Wishes& wishes) {
        const bool open = refusal_ && !refusal_->answers.empty();
        section_head(ui, place, place.y0 + ui.em(1.0F), "Reading", open ? "Enter takes nothing until you choose" : glance.units.temperature == UnitChoice::Temperature::celsius ? "type it in °C, or with F" : "type it in °F, or with C", false);
        place.cut_top(ui.em(1.625F));
        FieldView view{.label = "Reading", .name_shown = false, .unit = glance.temperature_unit(), .empty = "type it", .big = true};
        if (!portrait_->in_use) {
            view.refused = "this bath has ended";
        } else if (glance.read_only) {
            view.refused = "another window writes";
        }
        if (open) {
            view.question.guess = refusal_->message;
            view.question.asks = refusal_->remedy;
            view.question.answers = question_answers(*refusal_);
        }
        Rect first = place.cut_top(field_height(ui, true));
        const Rect box = first.cut_left(ui.em(11.25F));
        first.cut_left(ui.em(1.125F));
        place.cut_top(ui.em(1.0F));
        const Rect answers = place.cut_top(ui.em(3.25F));
        const FieldResult typed = field(ui, "reading", box, view, reading_, &first, &answers);
        if (reading_asked_) {
            ui.focus("reading", true);
            reading_asked_ = false;
        }
        if (reading_written_) {
            ui.drop_focus();  // the page's keys work again
            reading_written_ = false;
        }
        if (typed.changed) {
            refusal_.reset();
        }
        if (!typed.answer.empty() && asked_form_) {
            app::Form answered = *asked_form_;
            app::give_answer(answered, *refusal_, typed.answer);
            if (answered.typed["temp"].empty()) {
                reading_.set("");
                refusal_.reset();
            } else {
                wishes.add(WishForm{std::move(answered)});
            }
        } else if (typed.entered && !trimmed(reading_.text()).empty()) {
            app::Form form{.action = "bath.read"};
            form.typed["bath"] = portrait_->history.bath.number;
            form.typed["temp"] = reading_.text();
            wishes.add(WishForm{std::move(form)});
        }
        if (refusal_ && !open) {
            ui.paint().text_wrapped(Type::label, ui.colour(Role::look), {answers.x0, answers.y0 + ui.em(1.0F)}, answers.w(), refusal_->text());
        } else if (!refusal_ && !portrait_->assumed.empty()) {
            ui.paint().text_wrapped(Type::label, ui.colour(Role::quiet), {answers.x0, answers.y0 + ui.em(1.0F)}, answers.w(),
                                    joined(portrait_->assumed, ". ") + ".");
        }
    }

    void draw_left(Ui& ui, Rect place) {
        section_head(ui, place, place.y0 + ui.em(1.0F), portrait_->in_use ? "Left in this bath" : "What it did");
        if (!portrait_->left_head.empty()) {
            ui.paint().text(Type::strong, ui.colour(Role::ink), {place.x0, place.y0 + ui.em(3.0F)}, portrait_->left_head);
            ui.paint().text_wrapped(Type::label, ui.colour(Role::text), {place.x0, place.y0 + ui.em(4.5F)}, place.w(),
                                    portrait_->left_words + (portrait_->new_bath_words.empty() ? "" : " " + portrait_->new_bath_words));
        } else {
            ui.paint().text_wrapped(Type::label, ui.colour(Role::quiet), {place.x0, place.y0 + ui.em(3.0F)}, place.w(),
                                    "No piece was dipped in it yet: neither use nor fade can be told.");
        }
    }

    app::Studio* studio_ = nullptr;
    app::Laws laws_;
    app::BathsList list_;
    std::optional<app::BathPortrait> portrait_;
    Stamp portrait_read_;
    Scales scales_;
    TableState table_;
    app::Reckoner* reckoner_ = nullptr;
    std::shared_ptr<const app::Learned> learned_;
    TableState jars_;  // a jar chosen: its age is shown in place of a bath
    app::Reckoned<std::vector<app::LotAgeing>> ages_;
    bool ages_stale_ = true;
    bool jar_asked_ = false;  // the next jar is to be shown as soon as the list is read
    PlotState jar_plot_;
    ScrollState jar_scroll_;
    PlotState plot_;
    FieldState reading_;
    std::optional<Refusal> refusal_;
    std::optional<app::Form> asked_form_;
    bool reading_asked_ = false;
    bool reading_written_ = false;
    bool portrait_stale_ = false;
};

}  // namespace

std::unique_ptr<Page> make_baths_page() { return std::make_unique<BathsPage>(); }

}  // namespace tonebath::window
