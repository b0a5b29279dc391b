#include "window/panels/today_panel.hpp"

#include "app/studio.hpp"
#include "app/tone_span.hpp"
#include "app/views/today_view.hpp"
#include "base/text.hpp"
#include "window/panels/first_steps.hpp"
#include "window/panels/scales.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/table.hpp"
#include "window/widgets/timer.hpp"
#include "window/widgets/wires.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

Mark mark_of(app::OwedKind kind) {
    switch (kind) {
        case app::OwedKind::follow_up:
            return Mark::look;
        case app::OwedKind::ageing:
            return Mark::wait;
        case app::OwedKind::disposal:
        case app::OwedKind::order:
            return Mark::owed;
        case app::OwedKind::fill_in:
            return Mark::unknown;
    }
    return Mark::owed;
}

std::string_view word_of_owed(app::OwedKind kind) {
    switch (kind) {
        case app::OwedKind::follow_up:
            return "look";
        case app::OwedKind::ageing:
            return "ageing";
        case app::OwedKind::disposal:
        case app::OwedKind::order:
            return "owed";
        case app::OwedKind::fill_in:
            return "not known";
    }
    return "";
}

TagShape shape_of(const app::OwedItem& item) {
    return item.noun == "bath" ? TagShape::bath : item.noun == "lot" ? TagShape::lot : item.noun == "piece" ? TagShape::piece : TagShape::batch;
}

class TodayPage final : public Page {
public:
    [[nodiscard]] PageName name() const override { return PageName::today; }
    [[nodiscard]] LoopArc arc() const override { return view_.any_lot ? LoopArc::plan : LoopArc::record; }
    [[nodiscard]] std::string fact() const override { return view_.baths_in_use == 0 ? "" : counted(view_.baths_in_use, "bath in use", "baths in use"); }

    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned) override {
        view_ = app::today_view(studio, learned);
        scales_.read(app::scales_view(studio));
        table_.chosen = view_.owed.empty() ? "" : row_id(0);
    }

    void draw(Ui& ui, const Glance& glance, Wishes& wishes) override {
        Rect page = page_rect(ui);
        if (glance.empty) {
            first_steps(ui, page, glance, wishes);
            return;
        }
        const float head_baseline = page.y0 + ui.em(2.0F);
        page_head(ui, page.x0, head_baseline, day_text(glance.now), glance.demo ? "an invented studio, as of this moment" : "");
        if (glance.demo && button_quiet(ui, "own log", Rect{page.x1 - ui.em(15.0F), page.y0, page.x1, page.y0 + ui.em(2.75F)}, "Back to your own log", Key::b)) {
            wishes.add(WishDemo{.open = false});
        }
        page.cut_top(ui.em(3.0F));
        DayView day{.now_hour = hour_now(glance.now), .short_tags = ui.width() == Width::narrow};
        fill_day(day);
        const Rect wire = page.cut_top(std::max(day_wire_height(ui, day), ui.em(9.0F)));
        if (const std::string used = day_wire(ui, wire, day); !used.empty()) {
            open_day_item(used, wishes);
        }
        page.cut_top(ui.em(1.0F));
        Rect right = page.cut_right(ui.width() == Width::narrow ? ui.em(22.0F) : page.w() * 0.342F);
        page.cut_right(ui.em(2.5F));
        draw_next(ui, page, glance, wishes);
        draw_owed(ui, right, wishes);
    }

    [[nodiscard]] std::vector<FootHint> hints() const override {
        return {{.id = "bath.make-up", .cap = "M", .words = "make up a bath", .key = Key::m},
                {.id = "find", .cap = "F", .words = "find", .key = Key::f},
                {.id = "person.at-bench", .cap = "W", .words = "who is at the bench", .key = Key::w},
                {.id = "class", .cap = "C", .words = "class", .key = Key::c},
                {.id = "actions", .cap = "/", .words = "find an action", .key = {}}};
    }

    void hint_used(std::string_view id, Wishes& wishes) override {
        if (id == "find") {
            wishes.add(WishFind{});
        } else if (id == "actions") {
            wishes.add(WishActions{});
        } else if (id == "class") {
            wishes.add(WishClass{});
        } else {
            wishes.add(WishSheet{.action = std::string(id)});
        }
    }

private:
    [[nodiscard]] static double hour_now(const Stamp& now) {
        const CivilTime t = civil(now);
        return t.hour + t.minute / 60.0 + t.second / 3600.0;
    }

    [[nodiscard]] std::string row_id(std::size_t i) const {
        const app::OwedItem& item = view_.owed[i];
        return item.noun + ":" + item.record + ":" + std::to_string(i);
    }

    // One record may hang on the wire twice: a bath when it was made up and when it is to be thrown.
    [[nodiscard]] std::string day_id(std::size_t i) const {
        return (view_.day[i].kind == app::DayKind::throw_by ? "throw " : "") + view_.day[i].id;
    }

    void fill_day(DayView& day) const {
        double from = day.now_hour;
        double to = day.now_hour;
        float row = 0.0F;
        for (std::size_t i = 0; i < view_.day.size(); ++i) {
            const app::DayItem& item = view_.day[i];
            DayTag tag{.id = day_id(i), .hour = item.hour, .head = item.head, .lines = item.lines, .paper = item.to_do, .row_share = row};
            if (!item.to_do && item.kind == app::DayKind::bath) {
                tag.mark = Mark::done;
            }
            if (item.kind == app::DayKind::class_session && item.to_do) {
                tag.mark = Mark::wait;
                tag.cap = "C";
            }
            day.tags.push_back(std::move(tag));
            row = 1.0F - row;  // neighbours hang at two heights
            from = std::min(from, item.hour);
            to = std::max(to, item.hour);
        }
        day.from_hour = std::min(7.0, std::floor(from - 0.5));
        day.to_hour = std::max(19.0, std::ceil(to + 1.0));
    }

    void open_day_item(const std::string& id, Wishes& wishes) const {
        for (std::size_t i = 0; i < view_.day.size(); ++i) {
            if (day_id(i) != id) {
                continue;
            }
            const app::DayItem& item = view_.day[i];
            if (item.kind == app::DayKind::class_session) {
                wishes.add(WishClass{.number = item.id});
                continue;
            }
            const bool batch = item.kind == app::DayKind::batch && view_.next;
            wishes.add(WishPage{.page = batch ? PageName::bench : PageName::baths, .record = batch ? view_.next->batch : item.id});
        }
    }

    void draw_next(Ui& ui, const Rect& place, const Glance& glance, Wishes& wishes) {
        Rect card = begin_card(ui, place, Role::slab, 1.5F);
        section_head(ui, card, card.y0 + ui.em(0.875F), "Next at the bench");
        if (!view_.next) {
            draw_no_next(ui, card, glance, wishes);
            end_card(ui);
            return;
        }
        const app::NextDip& next = *view_.next;
        Painter& paint = ui.paint();
        const float tag_y = card.y0 + ui.em(2.9F);
        const Rect tag = number_tag(ui, TagShape::batch, "Batch " + next.batch, card.x0, tag_y, {.height_em = 2.0F});
        paint.text(Type::body, ui.colour(Role::text), {tag.x1 + ui.em(1.5F), tag_y + ui.em(0.35F)}, next.words);
        const DrawnScale* scale = scales_.drawn(next.scale);
        const bool planned = next.plan && next.plan->out_s;
        if (planned) {
            paint.text(Type::label, ui.colour(Role::ink), {card.x1, tag_y + ui.em(0.35F)},
                       "this piece may land: " + app::tone_span(next.plan->lands_from, next.plan->lands_to), Align::right);
        }
        float y = card.y0 + ui.em(5.75F);
        if (scale != nullptr) {
            StripView strip{.scale = scale, .label = "Batch " + next.batch + ", aim " + next.tone};
            if (next.aim) {
                strip.aim = whole_tone(next.aim->tone);
            }
            if (planned) {
                strip.may_land = ToneSpan{place_of_axis(next.plan->lands_from_place), place_of_axis(next.plan->lands_to_place)};
            }
            tone_strip(ui, Rect::at(card.x0, y, card.w(), strip_height(ui, StripSize::plan)), strip, StripSize::plan);
        }
        Rect buttons = card.cut_bottom(ui.em(3.0F));
        draw_figures(ui, Rect{card.x0, y + ui.em(6.0F), card.x1, card.y1}, next);
        draw_buttons(ui, buttons, next, glance, wishes);
        end_card(ui);
    }

    void draw_figures(Ui& ui, Rect place, const app::NextDip& next) const {
        Painter& paint = ui.paint();
        if (!next.plan || !next.plan->out_s) {
            std::string why = next.tone.empty()   ? "No aim is written down for this batch: add a target, and the time can be told."
                              : !next.bath_id     ? "No bath is in use. Make one up, and the time is told here."
                              : !next.plan        ? "Reading what the log has taught …"
                                                  : next.plan->refusal->text();
            paint.text_wrapped(Type::body, ui.colour(Role::text), {place.x0, place.y0 + ui.em(1.25F)}, place.w(), why);
            return;
        }
        const app::Plan& plan = *next.plan;
        const float baseline = place.y0 + ui.em(2.25F);
        const float end = figure_with_unit(ui, {place.x0, baseline}, timer_text(*plan.out_s), timer_in_seconds(*plan.out_s) ? "s" : "", Type::figure);
        const float x = end + ui.em(1.125F);
        paint.text(Type::strong, ui.colour(Role::ink), {x, baseline - ui.em(1.0F)},
                   fmt::format("aim {} to {}, if in now, bath {}", text_of(Seconds::from_seconds(*plan.aim_low_s)),
                               text_of(Seconds::from_seconds(*plan.aim_high_s)), next.bath));
        if (plan.dose_s) {
            paint.text(Type::body, ui.colour(Role::text), {x, baseline + ui.em(0.3F)},
                       fmt::format("equal to {} at 60 °C, fresh. Look from {}.", text_of(Seconds::from_seconds(*plan.dose_s)),
                                   text_of(Seconds::from_seconds(plan.look_s.value_or(*plan.aim_low_s)))));
        }
        std::string words = "From " + joined(plan.rests_on, ", ") + ". " + plan.strip_words;
        if (!next.check_words.empty()) {
            words += " Its lists: " + next.check_words;
        }
        paint.text_wrapped(Type::label, ui.colour(Role::text), {place.x0, baseline + ui.em(2.25F)}, place.w() - ui.em(19.5F), words);
    }

    void draw_buttons(Ui& ui, Rect place, const app::NextDip& next, const Glance& glance, Wishes& wishes) const {
        const float start_w = ui.em(8.5F);
        const Rect start = place.cut_right(start_w);
        place.cut_right(ui.em(0.75F));
        const Rect strip = place.cut_right(ui.em(8.75F));
        const std::string refused = glance.read_only ? "another window writes" : !next.bath_id ? "no bath in use" : "";
        if (next.bath_id && button_plain(ui, "strip", strip, "Dip a strip", Key::s)) {
            wishes.add(WishPage{.page = PageName::bench, .record = "strip"});
        }
        if (!refused.empty()) {
            button_plain(ui, "start", start, "Start", Key::space, {.refused = refused, .reason_beside = false});
        } else if (button_do(ui, "start", start, "Start", Key::space, {.enter_too = true})) {
            wishes.add(WishPage{.page = PageName::bench, .record = next.batch});
        }
    }

    void draw_no_next(Ui& ui, Rect card, const Glance& glance, Wishes& wishes) const {
        ui.paint().text_wrapped(Type::body, ui.colour(Role::text), {card.x0, card.y0 + ui.em(3.25F)}, card.w(), view_.advice);
        struct Offer {
            std::string_view action, words;
            Key key;
        };
        const Offer offer = !view_.any_lot               ? Offer{"lot.add", "Add a jar", Key::space}
                            : view_.baths_in_use == 0    ? Offer{"bath.make-up", "Make up a bath", Key::space}
                            : !view_.any_strip           ? Offer{"", "Dip a strip", Key::space}
                                                         : Offer{"piece.add", "Add pieces", Key::space};
        if (glance.read_only) {
            return;
        }
        const Rect place = card.cut_bottom(ui.em(3.0F)).cut_left(button_width(ui, offer.words, offer.key) + ui.em(1.0F));
        if (button_do(ui, "next step", place, offer.words, offer.key, {.enter_too = true})) {
            if (offer.action.empty()) {
                wishes.add(WishPage{.page = PageName::bench, .record = "strip"});
            } else {
                wishes.add(WishSheet{.action = std::string(offer.action)});
            }
        }
    }

    void draw_owed(Ui& ui, Rect place, Wishes& wishes) {
        section_head(ui, place, place.y0 + ui.em(2.375F), "Owed", std::to_string(view_.owed.size()));
        place.cut_top(ui.em(3.25F));
        TableView table_view{.id = "owed", .label = "Owed", .row_count = static_cast<int>(view_.owed.size()), .row_em = 3.625F, .head = false,
                             .empty = "Nothing is owed.", .open_words = "open it"};
        table_view.columns = {{.id = "tag", .width_em = 6.25F}, {.id = "words"}, {.id = "mark", .width_em = 4.5F, .align = Align::right}};
        table_view.row = [this](int i) {
            const auto& item = view_.owed[static_cast<std::size_t>(i)];
            return TableRow{.id = row_id(static_cast<std::size_t>(i)), .label = item.number + ", " + item.line};
        };
        table_view.cell = [this](Ui& cell, int i, const Column& column, const Rect& r, bool) {
            const app::OwedItem& item = view_.owed[static_cast<std::size_t>(i)];
            if (column.id == "tag") {
                number_tag(cell, shape_of(item), item.number, r.x0, r.mid_y(), {.width_em = 5.75F});
            } else if (column.id == "words") {
                cell.paint().text(Type::strong, cell.colour(Role::ink), {r.x0, r.mid_y() - cell.em(0.25F)}, cell.paint().ellipsis(Type::strong, r.w(), item.line));
                cell.paint().text(Type::label, cell.colour(Role::text), {r.x0, r.mid_y() + cell.em(1.0F)}, cell.paint().ellipsis(Type::label, r.w(), item.more));
            } else {
                mark_over_word(cell, mark_of(item.kind), r.x1, r.mid_y() - cell.em(0.6F), r.mid_y() + cell.em(1.0F), word_of_owed(item.kind));
            }
        };
        const TableResult used = table(ui, place, table_view, table_);
        if (used.opened.empty()) {
            return;
        }
        for (std::size_t i = 0; i < view_.owed.size(); ++i) {
            const app::OwedItem& item = view_.owed[i];
            if (row_id(i) != used.opened) {
                continue;
            }
            if (item.kind == app::OwedKind::fill_in) {
                wishes.add(WishFillIn{});
            } else if (item.kind == app::OwedKind::order) {
                wishes.add(WishRepeat{.number = item.number});
            } else if (item.kind == app::OwedKind::disposal) {
                wishes.add(WishSheet{.action = "disposal.add", .filled = {{"bath", item.number.substr(5)}}});
            } else {
                wishes.add(WishPage{.page = item.noun == "bath" || item.noun == "lot" ? PageName::baths : PageName::pieces, .record = item.record});
            }
        }
    }

    app::TodayView view_;
    Scales scales_;
    TableState table_;
};

}  // namespace

std::unique_ptr<Page> make_today_page() { return std::make_unique<TodayPage>(); }

}  // namespace tonebath::window
