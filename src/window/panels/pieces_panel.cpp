#include "window/panels/pieces_panel.hpp"

#include "app/learning.hpp"
#include "app/reckoner.hpp"
#include "app/studio.hpp"
#include "app/views/explain_view.hpp"
#include "app/views/pieces_view.hpp"
#include "app/views/planning_view.hpp"
#include "base/text.hpp"
#include "window/panels/matched_block.hpp"
#include "window/panels/rescue_block.hpp"
#include "window/panels/scales.hpp"
#include "window/panels/why_block.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/table.hpp"
#include "window/widgets/wires.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr float kListWidth_em = 34.5F;
constexpr float kListWidthNarrow_em = 22.0F;

class PiecesPage final : public Page {
public:
    [[nodiscard]] PageName name() const override { return PageName::pieces; }
    [[nodiscard]] LoopArc arc() const override { return LoopArc::learn; }
    [[nodiscard]] std::string fact() const override { return counted(list_.in_log, "piece", "pieces"); }

    void lend(app::Reckoner& reckoner) override {
        reckoner_ = &reckoner;
        why_.forget();
        matched_.forget();
        rescue_.forget();
    }

    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned) override {
        studio_ = &studio;
        learned_ = learned;
        if (learned) {
            laws_ = app::laws_of(*learned);
        }
        scales_.read(app::scales_view(studio));
        read_list();
    }

    void choose(std::string_view record) override {
        find_.set("");
        read_list();
        for (const app::PieceRow& row : list_.rows) {
            if (row.id.text == record || row.number == record) {
                table_.chosen = row.id.text;
                table_.reveal = true;
            }
        }
        read_story();
    }

    void catch_up() override {
        if (list_stale_) {
            read_list();
        } else if (story_stale_) {
            read_story();
        }
        list_stale_ = story_stale_ = false;
        why_.look();
        matched_.look();
        rescue_.look();
    }

    void draw(Ui& ui, const Glance& glance, Wishes& wishes) override {
        Rect page = page_rect(ui);
        if (list_.in_log == 0) {
            draw_empty(ui, page, glance, wishes);
            return;
        }
        Rect left = page.cut_left(ui.em(ui.width() == Width::narrow ? kListWidthNarrow_em : kListWidth_em));
        page.cut_left(ui.em(2.0F));
        draw_list(ui, left);
        if (story_) {
            draw_story(ui, page, wishes);
        }
        if (find_asked_) {
            ui.focus("find", true);
            find_asked_ = false;
        }
    }

    void show_view(std::string_view view) override {
        if (view == "why" || view == "matched" || view == "rescue") {
            show(view);
        }
    }

    [[nodiscard]] std::vector<FootHint> hints() const override {
        return {{.id = "find", .cap = "F", .words = "find", .key = Key::f},
                {.id = "piece.add", .cap = "A", .words = "add pieces", .key = Key::a},
                {.id = "judgement.add", .cap = "J", .words = "judge", .key = Key::j},
                {.id = "why", .cap = "D", .words = show_ == "why" ? "its story" : "why different", .key = Key::d},
                {.id = "after-work.add", .cap = "W", .words = "after-work", .key = Key::w}};
    }

    void hint_used(std::string_view id, Wishes& wishes) override {
        if (id == "find") {
            find_asked_ = true;
            return;
        }
        if (id == "why") {
            show(show_ == "why" ? "story" : "why");
            return;
        }
        WishSheet sheet{.action = std::string(id)};
        if (story_ && id != "piece.add") {
            sheet.filled["piece"] = story_->piece.number;
        }
        wishes.add(std::move(sheet));
    }

private:
    void read_list() {
        list_ = app::piece_list(*studio_, find_.text());
        const bool still = std::any_of(list_.rows.begin(), list_.rows.end(),
                                       [this](const app::PieceRow& row) { return row.id.text == table_.chosen; });
        if (!still) {
            table_.chosen = list_.rows.empty() ? "" : list_.rows.front().id.text;
        }
        read_story();
    }

    void show(std::string_view what) {
        show_ = what;
        story_stale_ = true;
        planning_scroll_ = {};
    }

    void read_story() {
        story_ = table_.chosen.empty() ? std::nullopt : app::piece_story(*studio_, {table_.chosen}, laws_);
        const std::string piece = story_ ? story_->piece.id.text : std::string();
        if (piece != asked_of_) {
            why_.forget();
            matched_.forget();
            rescue_.forget();
            asked_of_ = piece;
        }
        if (!story_) {
            return;
        }
        if (show_ == "rescue") {
            rescue_.ask(*reckoner_, [id = story_->piece.id](app::Studio& studio, const app::StillWanted&) { return app::rescue_view(studio, id); });
        } else if (show_ == "why" && learned_) {
            why_.ask(*reckoner_, [learned = learned_, id = story_->piece.id](app::Studio& studio, const app::StillWanted&) { return app::why_view(studio, *learned, id); });
        } else if (show_ == "matched" && learned_) {
            matched_.ask(*reckoner_, [learned = learned_, id = story_->piece.id](app::Studio& studio, const app::StillWanted&) { return app::matched_view(studio, *learned, id); });
        }
    }

    void draw_empty(Ui& ui, const Rect& page, const Glance& glance, Wishes& wishes) {
        const EmptyView view{.id = "empty",
                             .scale = &ui.look().silver,
                             .fact = "No pieces yet.",
                             .todo = "Write down a rack of them once, with the metals they are made of.",
                             .button = "Add pieces",
                             .key = Key::a,
                             .copper = !glance.read_only};
        if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), view)) {
            wishes.add(WishSheet{.action = "piece.add"});
        }
    }

    void draw_list(Ui& ui, Rect left) {
        left.cut_top(ui.em(0.5F));
        const FieldResult typed =
            field(ui, "find", left.cut_top(field_height(ui)),
                  {.label = "Find", .name_shown = false, .empty = "find: a number, design, tone, month", .kind = FieldKind::text, .plain_letters = true,
                   .note = counted(list_.rows.size(), "piece", "pieces")},
                  find_);
        list_stale_ = list_stale_ || typed.changed;
        left.cut_top(ui.em(0.5F));
        const bool narrow = ui.width() == Width::narrow;
        TableView view{.id = "pieces", .label = "Pieces", .row_count = static_cast<int>(list_.rows.size()),
                       .empty = "No piece fits these words.", .open_words = "show its story"};
        view.columns = {{.id = "number", .head = "Number", .width_em = 7.25F},
                        {.id = "dip", .head = "Rack, dip", .width_em = narrow ? 0.0F : 6.5F, .drop_when_narrow = true},
                        {.id = "tone", .head = "Tone"},
                        {.id = "seal", .head = "Seal", .width_em = 6.5F, .drop_when_narrow = true}};
        view.row = [this](int index) {
            const app::PieceRow& row = list_.rows[static_cast<std::size_t>(index)];
            return TableRow{.id = row.id.text, .label = row.number + (row.tone_word.empty() ? ", not judged" : ", " + row.tone_word)};
        };
        view.cell = [this](Ui& cell, int index, const Column& column, const Rect& place, bool chosen) {
            draw_cell(cell, list_.rows[static_cast<std::size_t>(index)], column.id, place, chosen);
        };
        const std::string before = table_.chosen;
        table(ui, left, view, table_);
        if (table_.chosen != before) {
            story_stale_ = true;
            story_scroll_ = {};
        }
    }

    void draw_cell(Ui& ui, const app::PieceRow& row, std::string_view column, const Rect& place, bool chosen) {
        if (column == "number") {
            number_tag(ui, TagShape::piece, row.number, place.x0, place.mid_y());
        } else if (column == "dip") {
            ui.paint().text_in(Type::body, ui.colour(Role::text), place, row.rack_dip);
        } else if (column == "seal") {
            ui.paint().text_in(Type::label, ui.colour(Role::quiet), place, row.seal);
        } else if (!row.tone) {
            ui.paint().text_in(Type::label, ui.colour(Role::quiet), place, "not judged");
        } else {
            Rect rest = place;
            const DrawnScale* scale = scales_.drawn(row.scale);
            if (scale != nullptr && place.w() > ui.em(9.5F)) {
                const Rect strip = rest.cut_left(ui.em(5.5F));
                const float h = strip_height(ui, StripSize::row);
                tone_strip(ui, Rect::at(strip.x0, strip.mid_y() - h * 0.25F, strip.w(), h),
                           {.scale = scale, .pin = strip_place_of(*row.tone), .words = false, .bare_end = false}, StripSize::row);
                rest.cut_left(ui.em(0.75F));
            }
            ui.paint().text_in(chosen ? Type::strong : Type::body, ui.colour(Role::ink), rest, row.tone_word);
        }
    }

    void draw_story(Ui& ui, Rect right, Wishes& wishes) {
        const app::PieceStory& story = *story_;
        Rect head = right.cut_top(ui.em(3.5F));
        const std::string wanted = story.order.empty() ? story.piece.number : story.order;
        const std::string again = wanted + " again";
        Rect button = head.cut_right(button_width(ui, again, Key::r) + ui.em(0.5F));
        head.cut_right(ui.em(1.0F));
        if (button_quiet(ui, "repeat", button.cut_top(ui.em(2.5F)), again, Key::r)) {
            wishes.add(WishRepeat{.number = wanted});
        }
        const Rect tag = number_tag(ui, TagShape::piece, story.piece.number, head.x0, head.y0 + ui.em(1.25F), {.height_em = 2.5F});
        const float x = std::max(tag.x1 + ui.em(1.5F), head.x0 + ui.em(8.5F));
        ui.paint().text(Type::leads, ui.colour(Role::ink), {x, head.y0 + ui.em(1.0F)},
                        ui.paint().ellipsis(Type::leads, head.x1 - x, story.title));
        ui.paint().text(Type::label, ui.colour(Role::text), {x, head.y0 + ui.em(2.25F)},
                        ui.paint().ellipsis(Type::label, head.x1 - x, story.line));

        std::string chosen = show_;
        if (choice_segmented(ui, "show", right.cut_top(ui.em(2.625F)), "Of this piece",
                             {{.id = "story", .label = "Story"}, {.id = "why", .label = "Why different"}, {.id = "matched", .label = "What would have matched"},
                              {.id = "rescue", .label = "Rescue"}},
                             chosen)) {
            show(chosen);
        }
        right.cut_top(ui.em(0.5F));
        if (show_ == "why") {
            why_block(ui, right, why_.latest(), planning_scroll_);
            return;
        }
        if (show_ == "matched") {
            const app::MatchedView* view = matched_.latest();
            matched_block(ui, right, view, view == nullptr ? nullptr : scales_.drawn(view->scale), matched_state_);
            return;
        }
        if (show_ != "story") {
            if (rescue_.latest() != nullptr) {
                rescue_block(ui, right, *rescue_.latest(), planning_scroll_);
            } else {
                words_card(ui, right, "Reckoning …");
            }
            return;
        }

        Rect card = right.cut_bottom(ui.em(story.spread_words.empty() ? 0.0F : 7.0F));
        const DrawnScale* scale = scales_.drawn(story.scale);
        Rect strip_place = right.cut_bottom(ui.em(scale != nullptr ? 8.5F : 0.0F));

        StoryView view;
        for (const app::StoryStep& step : story.steps) {
            view.beads.push_back({.id = step.id, .when = date_time_text(step.at), .what = step.what, .more = step.more,
                                  .filled = step.main, .strong = step.main});
        }
        const float content_h = ui.em(3.25F) * static_cast<float>(view.beads.size()) + ui.em(2.0F);
        Rect content = begin_scroll(ui, "story", right, content_h, story_scroll_);
        content.cut_top(ui.em(0.75F));
        story_wire(ui, content, view);
        end_scroll(ui);

        if (scale != nullptr) {
            draw_strip(ui, strip_place, *scale);
        }
        if (!story.spread_words.empty()) {
            Rect inside = begin_card(ui, card);
            section_head(ui, inside, inside.y0 + ui.em(1.0F), "Its batch on the strip");
            ui.paint().text_wrapped(Type::body, ui.colour(Role::text), {inside.x0, inside.y0 + ui.em(2.75F)}, inside.w(),
                                    story.spread_words);
            end_card(ui);
        }
    }

    void draw_strip(Ui& ui, Rect place, const DrawnScale& scale) {
        const app::PieceStory& story = *story_;
        StripView view{.scale = &scale, .label = story.piece.number + " on its strip"};
        if (story.tone) {
            view.pin = strip_place_of(*story.tone);
            // Inside the aim the word would stand on the bracket's own.
            view.pin_words = story.aim && story.aim->tone == story.tone->tone ? "" : story.piece.number;
        }
        if (story.aim) {
            view.aim = whole_tone(story.aim->tone);
            view.aim_word = "aim";
        }
        for (const app::BatchMate& mate : story.mates) {
            view.mates.push_back(strip_place_of(mate.tone));
        }
        const float h = strip_height(ui, StripSize::plan);
        tone_strip(ui, Rect::at(place.x0, place.y0 + ui.em(2.25F), place.w(), h), view, StripSize::plan);
    }

    app::Studio* studio_ = nullptr;
    app::Laws laws_;
    app::PieceList list_;
    std::optional<app::PieceStory> story_;
    std::shared_ptr<const app::Learned> learned_;
    app::Reckoner* reckoner_ = nullptr;
    app::Reckoned<app::WhyView> why_;
    app::Reckoned<app::MatchedView> matched_;
    std::string asked_of_;             // id of the piece that these were asked for
    MatchedState matched_state_;
    app::Reckoned<app::RescueView> rescue_;
    std::string show_ = "story";
    ScrollState planning_scroll_;
    Scales scales_;
    FieldState find_;
    TableState table_;
    ScrollState story_scroll_;
    bool find_asked_ = false;
    bool list_stale_ = false;
    bool story_stale_ = false;
};

}  // namespace

std::unique_ptr<Page> make_pieces_page() { return std::make_unique<PiecesPage>(); }

}  // namespace tonebath::window
