#include "window/panels/coats_panel.hpp"

#include "app/reckoner.hpp"
#include "app/studio.hpp"
#include "app/views/coats_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "window/panels/coats_planner.hpp"
#include "window/panels/coats_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace tonebath::window {

namespace {

constexpr std::string_view kEvening = "evening", kBottles = "bottles", kSeals = "seals";

class CoatsPage final : public Page {
public:
    [[nodiscard]] PageName name() const override { return PageName::coats; }
    [[nodiscard]] LoopArc arc() const override { return LoopArc::dip; }
    [[nodiscard]] std::string fact() const override {
        if (!state_ || !state_->coating.humidity_percent) {
            return state_ ? "coating " + state_->coating.number : std::string();
        }
        return fmt::format("{} % RH", fixed_text(*state_->coating.humidity_percent, 0));
    }

    void lend(app::Reckoner& reckoner) override {
        reckoner_ = &reckoner;
        reckoned_.forget();
    }

    // The evening under way is a short read, and its rows are heard on every page; the books only while this one is shown, and
    // not on its thread.
    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>&) override {
        studio_ = &studio;
        state_ = app::open_coating(studio);
        if (!state_ || (picked_ && *picked_ > state_->coating.stones)) {
            picked_.reset();
        }
        stale_ = true;
    }
    void catch_up() override {
        if (studio_ == nullptr) {
            return;
        }
        if (std::exchange(stale_, false)) {
            reckoned_.ask(*reckoner_, [](app::Studio& studio, const app::StillWanted&) { return app::coats_books(studio); });
        }
        if (reckoned_.look()) {
            planner_.fill_in(books());
            find_wanted();
        }
        if (!state_ && part_ == kEvening) {
            planner_.look(*studio_, books());
        }
    }

    void show_view(std::string_view view) override {
        if (view == kEvening || view == kBottles || view == kSeals) {
            part_ = view;
        }
    }
    void choose(std::string_view record) override {
        part_ = kBottles;
        wanted_ = record;
        catch_up();
        if (reckoned_.latest() != nullptr) {
            find_wanted();
        }
    }
    void told(const Told& told) override {
        refused_ = told.answer ? "" : told.answer.error().text();
        if (told.answer && told.form.action.starts_with("coat.")) {
            picked_.reset();
        }
    }

    [[nodiscard]] std::vector<Cue> cues() const override {
        std::vector<Cue> cues;
        if (studio_ == nullptr || !state_) {
            return cues;
        }
        const Stamp now = studio_->now();
        const std::int64_t boot_ms = studio_->clock().boot().ms;
        for (int row = 1; row <= state_->rows(); ++row) {
            if (const auto from = state_->row_from(row); from && *from > now) {
                cues.push_back({.kind = CueKind::coat_due, .lane = row, .at_ms = boot_ms + (from->utc_ms - now.utc_ms)});
            }
        }
        return cues;
    }
    [[nodiscard]] bool hands_full() const override { return state_ && state_->next_place; }
    [[nodiscard]] double seconds_to_next_change() const override { return state_ ? 0.25 : 20.0; }

    void draw(Ui& ui, const Glance& glance, Wishes& wishes) override {
        Rect page = page_rect(ui);
        page.cut_top(ui.em(0.75F));
        if (state_ && part_ == kEvening) {
            draw_live(ui, page, glance, wishes);
            return;
        }
        const std::vector<Option> parts{{.id = std::string(kEvening), .label = state_ ? "The evening under way" : "Plan an evening"},
                                        {.id = std::string(kBottles), .label = "Bottles", .note = std::to_string(books().bottles.size())},
                                        {.id = std::string(kSeals), .label = "Sealing"}};
        choice_segmented(ui, "part", page.cut_top(ui.em(2.75F)), "Part of the page", parts, part_);
        page.cut_top(ui.em(0.75F));
        if (part_ != kEvening && reckoned_.latest() == nullptr) {
            words_card(ui, page, "Working it out …");
        } else if (part_ == kBottles) {
            draw_bottles(ui, page, books().bottles, glance.units, bottles_, evenings_scroll_, plot_);
        } else if (part_ == kSeals) {
            draw_seals(ui, page, books().seals, seals_scroll_);
        } else {
            planner_.draw(ui, page, glance, books(), wishes);
        }
    }

    [[nodiscard]] std::vector<FootHint> hints() const override {
        if (state_ && part_ == kEvening) {
            return {{.id = "space", .cap = "Space", .words = state_->next_place ? state_->coating.by_row ? "coats on, next row" : "coat on, next stone" : "end", .key = {}},
                    {.id = "coat.back", .cap = "U", .words = "undo last press", .key = Key::u},
                    {.id = "coat.skip", .cap = "X", .words = "skip a stone", .key = Key::x},
                    {.id = "coating.note", .cap = "N", .words = "note", .key = Key::n},
                    {.id = std::string(kBottles), .cap = "T", .words = "bottles, sealing", .key = Key::t}};
        }
        return {{.id = "coating.begin", .cap = "B", .words = "begin coating", .key = Key::b},
                {.id = std::string(kEvening), .cap = "V", .words = state_ ? "back to the rows" : "the plan", .key = Key::v},
                {.id = std::string(kBottles), .cap = "T", .words = "bottles", .key = Key::t},
                {.id = std::string(kSeals), .cap = "S", .words = "sealing", .key = Key::s},
                {.id = "bottle.add", .cap = "O", .words = "write down a bottle", .key = Key::o}};
    }
    void hint_used(std::string_view id, Wishes& wishes) override {
        if (id == "space") {
            press(wishes);
        } else if (id == kEvening || id == kBottles || id == kSeals) {
            part_ = id;
        } else if (id == "coat.back" || id == "coat.skip" || id == "coat.on") {
            app::Form form{.action = std::string(id)};
            if (id != "coat.back" && picked_) {
                form.typed["place"] = std::to_string(*picked_);
            }
            wishes.add(WishForm{std::move(form)});
        } else {
            wishes.add(id == "coating.begin" && !state_ ? planner_.begin() : WishSheet{.action = std::string(id)});
        }
    }

private:
    [[nodiscard]] const app::CoatsBooks& books() const {
        static const app::CoatsBooks kNothing;
        return reckoned_.latest() == nullptr ? kNothing : *reckoned_.latest();
    }

    // A bottle, or the bottle of an evening.
    void find_wanted() {
        const std::string wanted = std::exchange(wanted_, "");
        if (wanted.empty()) {
            return;
        }
        const auto is_evening = [&wanted](const app::EveningRecord& one) { return one.id.text == wanted || one.number == wanted; };
        const auto bottle = std::ranges::find_if(books().bottles, [&](const app::BottleTrend& one) {
            return one.id.text == wanted || one.bottle == wanted || std::ranges::any_of(one.evenings, is_evening);
        });
        if (bottle != books().bottles.end()) {
            bottles_.chosen = bottle->bottle;
        } else {
            part_ = kEvening;
        }
    }

    // The one key: a coat on the stone whose turn it is, or the end when all have theirs.
    void press(Wishes& wishes) const {
        app::Form form{.action = state_->next_place || picked_ ? "coat.on" : "coating.end"};
        if (picked_) {
            form.typed["place"] = std::to_string(*picked_);
        }
        wishes.add(WishForm{std::move(form)});
    }

    void pick_by_keys(Ui& ui) {
        const int step = (ui.pressed(Key::right) ? 1 : 0) - (ui.pressed(Key::left) ? 1 : 0) + (ui.pressed(Key::down) ? state_->coating.row : 0) - (ui.pressed(Key::up) ? state_->coating.row : 0);
        if (step != 0) {
            picked_ = std::clamp(picked_.value_or(state_->next_place.value_or(1)) + step, 1, state_->coating.stones);
        }
        if (ui.pressed(Key::esc)) {
            picked_.reset();
        }
        if (picked_ == state_->next_place) {
            picked_.reset();
        }
    }

    void draw_live(Ui& ui, Rect page, const Glance& glance, Wishes& wishes) {
        pick_by_keys(ui);
        const bool narrow = ui.width() == Width::narrow;
        Rect head = page.cut_top(ui.em(7.75F));
        draw_head(ui, head, glance, wishes);
        AirCard air = air_card(glance.units);
        if (narrow) {
            // In one line.
            const Rect line = page.cut_bottom(ui.em(1.75F));
            const std::vector<std::string> words = app::dew_words(state_->coating.room, state_->coating.humidity_percent, glance.units);
            ui.paint().text_in(Type::label, ui.colour(Role::text), line, words.empty() ? air.none : words[0] + " " + words[1]);
        } else {
            draw_air_card(ui, page.cut_right(ui.em(20.75F)), air, glance.units, air_scroll_);
            page.cut_right(ui.em(2.0F));
        }
        const Rect finish = page.cut_bottom(finish_height(ui));
        page.cut_bottom(ui.em(0.75F));
        if (const auto clicked = draw_coat_rows(ui, page, *state_, app::coat_rows(*state_, glance.now), picked_ ? picked_ : state_->next_place, rows_scroll_)) {
            picked_ = clicked == state_->next_place ? std::nullopt : clicked;
        }
        draw_finish(ui, finish, app::finish_line(*state_, glance.now));
    }

    void draw_head(Ui& ui, Rect head, const Glance& glance, Wishes& wishes) {
        Painter& paint = ui.paint();
        const app::CoatNow now = app::coat_now(*state_, glance.now, picked_);
        Rect button = head.cut_right(ui.em(15.5F));
        button = Rect{button.x0, head.y0 + ui.em(0.25F), button.x1, head.y0 + ui.em(6.0F)};
        const bool over = !state_->next_place && !picked_;
        ButtonStyle style{.refused = glance.read_only ? "another window writes" : "", .reason_beside = false, .type = Type::title, .enter_too = true, .bench = true};
        // While a dip runs Space lifts it out.
        style.take_key = !glance.dip_running;
        const std::string label = over ? "End coating" : state_->coating.by_row && !picked_ ? "Row on" : "Coat on";
        const bool pressed = glance.read_only ? button_plain(ui, "coat on", button, label, Key::space, style) : button_do(ui, "coat on", button, label, Key::space, style);
        if (pressed) {
            press(wishes);
        }
        paint.text(Type::lead, ui.colour(Role::quiet), {head.x0, head.y0 + ui.em(1.125F)}, picked_ ? "Picked" : "Now");
        const float y = head.y0 + ui.em(5.625F);
        const float w = paint.text(Type::word, ui.colour(Role::ink), {head.x0, y}, now.head);
        const float x = head.x0 + w + ui.em(1.75F);
        paint.text(Type::title, ui.colour(Role::copper), {x, y - ui.em(1.75F)}, now.coat);
        paint.text(Type::body, ui.colour(now.wait.empty() ? Role::text : Role::look), {x, y}, now.wait.empty() ? now.where : now.where + " · " + now.wait);
        const float pace_x = head.x0 + ui.em(38.5F);
        if (ui.width() != Width::narrow && x + paint.text_width(Type::body, now.where + " · " + now.wait) < pace_x - ui.em(1.0F)) {
            paint.text(Type::lead, ui.colour(Role::quiet), {pace_x, head.y0 + ui.em(1.125F)}, "Pace");
            paint.text(Type::title, ui.colour(Role::ink), {pace_x, y - ui.em(1.75F)}, now.pace);
            paint.text(Type::body, ui.colour(Role::text), {pace_x, y}, paint.ellipsis(Type::body, head.x1 - pace_x - ui.em(0.5F), now.loop));
        }
        const std::string below = !refused_.empty() ? refused_ : over ? "" : now.missed;
        paint.text(Type::label, ui.colour(Role::look), {head.x0, head.y0 + ui.em(7.375F)}, paint.ellipsis(Type::label, head.w(), below));
    }

    [[nodiscard]] AirCard air_card(const UnitChoice& units) const {
        const Coating& coating = state_->coating;
        AirCard air{.room = coating.room, .note = "read " + time_text(coating.started_at), .bottle = state_->bottle,
                    .bottle_words = "wait " + app::span_words(coating.wait.seconds()) + ", cure " + app::span_words(coating.cure.seconds()), .none = "No reading of the room was written down."};
        if (coating.room && coating.humidity_percent && *coating.humidity_percent > 0.0) {
            air.air = science::room_air(coating.room->celsius(), *coating.humidity_percent);
        } else {
            air.note.clear();
        }
        if (!coating.check_said.empty()) {
            std::vector<std::string> said = split(coating.check_said, '\n');
            air.heads.emplace_back("Coating check done " + time_text(coating.started_at), joined(said, "; "));
        }
        const auto bottle = std::ranges::find(books().bottles, state_->bottle, &app::BottleTrend::bottle);
        air.words = app::room_said(coating.room, coating.humidity_percent, bottle == books().bottles.end() ? std::string() : bottle->kind, books().evenings, units).words;
        if (!coating.note.empty()) {
            std::vector<std::string> notes = split(coating.note, '\n');
            air.words.push_back(joined(notes, " · "));
        }
        return air;
    }

    app::Studio* studio_ = nullptr;
    std::optional<app::CoatingState> state_;
    app::Reckoner* reckoner_ = nullptr;
    app::Reckoned<app::CoatsBooks> reckoned_;
    std::string wanted_;  // number or id of a bottle or evening to be shown as soon as the books are read
    CoatsPlanner planner_;
    std::string part_ = std::string(kEvening), refused_;
    std::optional<int> picked_;
    TableState bottles_;
    PlotState plot_;
    ScrollState rows_scroll_, air_scroll_, evenings_scroll_, seals_scroll_;
    bool stale_ = true;
};

}  // namespace

std::unique_ptr<Page> make_coats_page() { return std::make_unique<CoatsPage>(); }

}  // namespace tonebath::window
