#include "window/panels/safety_winter.hpp"

#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/rules/rule.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr double kLongest_s = 90.0;  // as the plan takes it where nothing else is said

std::string hangs(const std::optional<double>& seconds) {
    return seconds ? text_of(Seconds::from_seconds(*seconds)) : std::string("over a day");
}

// Minutes on, seconds up; what hangs far too long is drawn at the edge.
PlotView plot_of(const app::WinterPlan& plan) {
    PlotView view{.id = "winter", .label = "Seconds that a piece hangs against minutes since the first drop"};
    double most = kLongest_s;
    for (const app::WinterDip& dip : plan.dips) {
        most = std::max({most, dip.before_s.value_or(0.0), dip.colder_s.value_or(0.0)});
    }
    most = std::min(1.15 * most, 4.0 * kLongest_s);
    view.x = {.low = 0.0, .high = plan.dips.back().at_s / 60.0, .unit = "min", .most_ticks = 6};
    view.y = {.low = 0.0, .high = most, .name = "seconds to " + plan.tone, .unit = "s", .unit_on_all = false, .most_ticks = 4};
    PlotLine before{.name = "room as it was", .words = "room as it was"};
    PlotLine colder{.name = "colder room", .axes_look = true, .words = "colder room"};
    for (const app::WinterDip& dip : plan.dips) {
        before.points.push_back({dip.at_s / 60.0, std::min(dip.before_s.value_or(most), most)});
        colder.points.push_back({dip.at_s / 60.0, std::min(dip.colder_s.value_or(most), most)});
    }
    // Clear of both lines: the slower one's above, the other's below.
    const PlotPoint over = colder.points[colder.points.size() / 2];
    const PlotPoint under = before.points[before.points.size() * 3 / 4];
    colder.words_at = PlotPoint{over.x, std::min(over.y + 0.12 * most, 0.95 * most)};
    before.words_at = PlotPoint{under.x, std::max(under.y - 0.16 * most, 0.02 * most)};
    view.lines = {before, colder};
    view.limits.push_back({.y = kLongest_s, .figure = "90 s", .words = "a reheat is due", .weight = PlotLimit::Weight::used});
    return view;
}

}  // namespace

void WinterPart::lend(app::Reckoner& reckoner) {
    reckoner_ = &reckoner;
    learned_.reset();
    aim_.reset();
    plan_.forget();
    stale_ = true;
}

void WinterPart::read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned) {
    studio_ = &studio;
    learned_ = learned ? learned : learned_;
    aim_ = app::winter_aim(studio);
    const auto record = app::last_room_temp(studio);
    last_room_ = record ? text_of(Celsius::from_celsius(record->room_c), studio.units()) : std::string("type it");
    tones_.clear();
    if (aim_) {
        tones_ = app::tones_of(studio, aim_->tone.scale_id);
        std::erase_if(tones_, [](const Tone& tone) { return tone.position == 0; });
        const bool still = std::ranges::any_of(tones_, [this](const Tone& tone) { return tone.id.text == tone_; });
        tone_ = still ? tone_ : aim_->tone.id.text;
    }
    stale_ = true;
}

void WinterPart::catch_up(bool shown) {
    if (shown && studio_ != nullptr && (stale_ || seconds_between(asked_at_, studio_->now()) > 10.0)) {
        ask();
    }
    plan_.look();
}

void WinterPart::ask() {
    stale_ = false;
    asked_at_ = studio_->now();
    if (!aim_ || !learned_ || reckoner_ == nullptr || room_refused_) {
        plan_.forget();
        return;
    }
    app::WinterAsk asked{.first = {.bath_id = aim_->bath.id, .scale_id = aim_->tone.scale_id, .tone_id = {tone_}}, .room_c = room_c_, .longest_s = kLongest_s};
    plan_.ask(*reckoner_, [learned = learned_, asked](app::Studio& studio, const app::StillWanted&) { return app::winter_plan(studio, *learned, asked); });
}

void WinterPart::take_room(const std::string& typed) {
    const auto room = app::winter_room(*studio_, typed);
    room_refused_ = room ? std::nullopt : std::optional(room.error());
    room_c_ = room ? *room : std::nullopt;
    stale_ = true;
}

void WinterPart::type_room(std::string_view typed) {
    if (studio_ != nullptr) {
        room_.set(std::string(typed));
        take_room(room_.text());
    }
}

void WinterPart::draw(Ui& ui, Rect page, const Glance& glance, Wishes& wishes) {
    if (!aim_) {
        page.cut_top(ui.em(kStrip_em + 0.75F));
        const EmptyView empty{.id = "no winter", .scale = &ui.look().silver, .fact = "No bath is in use.",
                              .todo = "Make one up; what a colder room does to it is told here.", .button = glance.read_only ? "" : "Make up a bath", .key = Key::m, .copper = true};
        if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), empty)) {
            wishes.add(WishSheet{.action = "bath.make-up", .filled = {}});
        }
        return;
    }
    Rect right = page.cut_right(ui.em(kWinterRight_em));
    page.cut_right(ui.em(1.5F));
    page.cut_top(ui.em(kStrip_em + 0.75F));
    draw_asked(ui, right.cut_top(ui.em(6.75F)), glance);
    right.cut_top(ui.em(0.75F));
    const app::WinterPlan* plan = plan_.latest();
    if (plan == nullptr || plan->refusal || room_refused_) {
        if (room_refused_) {
            draw_refusal(ui, page);
        } else {
            words_card(ui, page, plan != nullptr ? plan->refusal->text() : learned_ ? "Working it out …" : "Reading what the log has taught …");
        }
        words_card(ui, right, "Air first: window and fan stay as the air asks, and the bath is warmed another way.");
        return;
    }
    draw_session(ui, page, *plan);
    draw_order(ui, right, *plan);
}

void WinterPart::draw_asked(Ui& ui, Rect place, const Glance& glance) {
    Rect card = begin_card(ui, place);
    card.cut_top(field_name_height(ui));
    Rect row = card.cut_top(field_height(ui));
    const Rect box = row.cut_left(ui.em(9.5F));
    row.cut_left(ui.em(1.0F));
    const FieldView view{.label = "The room now", .unit = glance.temperature_unit(), .empty = last_room_};
    if (field(ui, "winter room", box, view, room_).changed) {
        take_room(room_.text());  // no plan stands beside a room that it is not of
    }
    std::vector<Option> options;
    for (const Tone& tone : tones_) {
        options.push_back({.id = tone.id.text, .label = tone.word, .note = {}, .refused = {}});
    }
    if (choice_list(ui, "winter tone", row, "To tone", options, tone_, list_)) {
        stale_ = true;
    }
    end_card(ui);
}

// What is asked of the room, with its answers.
void WinterPart::draw_refusal(Ui& ui, const Rect& place) {
    Rect card = begin_card(ui, place);
    card.cut_top(ui.paint().text_wrapped(Type::body, ui.colour(Role::text), {card.x0, card.y0 + ui.em(1.125F)}, card.w(), room_refused_->text(), Align::left, ui.em(1.5F)) + ui.em(1.0F));
    Rect line = card.cut_top(ui.em(3.0F));
    const std::vector<std::string> answers = room_refused_->answers;
    for (const std::string& answer : answers) {
        const Rect button = line.cut_left(button_width(ui, answer) + ui.em(1.0F));
        line.cut_left(ui.em(0.75F));
        if (button_plain(ui, "answer " + answer, button, answer)) {
            room_.set(answer == rules::kBlank ? "" : answer);
            take_room(room_.text());
            break;
        }
    }
    end_card(ui);
}

void WinterPart::draw_session(Ui& ui, Rect place, const app::WinterPlan& plan) {
    const Rect upper = place.cut_top(std::max(ui.em(12.0F), place.h() * 0.48F));
    place.cut_top(ui.em(0.75F));
    const Rect card = begin_card(ui, upper);
    plot(ui, card, plot_of(plan), plot_state_);
    end_card(ui);
    const auto degrees = [this](double celsius) { return text_of(Celsius::from_celsius(celsius), studio_->units()); };
    const TableView view{.id = "drops",
                         .label = "Drop by drop",
                         .columns = {{.id = "after", .head = "Dropped after"},
                                     {.id = "before", .head = "Room at " + degrees(plan.before.room_c)},
                                     {.id = "colder", .head = "Room at " + degrees(plan.colder.room_c)}},
                         .row_count = static_cast<int>(plan.dips.size()),
                         .row_em = 2.625F,
                         .empty = {},
                         .row =
                             [&plan](int row) {
                                 const app::WinterDip& dip = plan.dips[static_cast<std::size_t>(row)];
                                 return TableRow{.id = fmt::format("{:.0f}", dip.at_s),
                                                 .label = fmt::format("after {:.0f} min: {}, in the colder room {}", dip.at_s / 60.0, hangs(dip.before_s), hangs(dip.colder_s))};
                             },
                         .cell =
                             [&plan, &degrees](Ui& drawn, int row, const Column& column, const Rect& cell, bool) {
                                 const app::WinterDip& dip = plan.dips[static_cast<std::size_t>(row)];
                                 if (column.id == "after") {
                                     drawn.paint().text_in(Type::body, drawn.colour(Role::text), cell, fixed_text(dip.at_s / 60.0, 0) + " min");
                                     return;
                                 }
                                 const bool colder = column.id == "colder";
                                 const std::optional<double>& seconds = colder ? dip.colder_s : dip.before_s;
                                 const bool late = !seconds || *seconds > kLongest_s;
                                 Rect words = cell;
                                 drawn.paint().text_in(colder ? Type::strong : Type::body, drawn.colour(Role::ink), words.cut_left(drawn.em(4.5F)), hangs(seconds));
                                 if (late) {
                                     draw_mark(drawn, Mark::look, {words.x0 + drawn.em(0.5F), words.mid_y()}, drawn.em(0.5F));
                                 }
                                 words.cut_left(drawn.em(1.5F));
                                 drawn.paint().text_in(Type::label, drawn.colour(Role::text), words, "at " + degrees(colder ? dip.colder_c : dip.before_c));
                             }};
    table(ui, place, view, table_);
}

void WinterPart::draw_order(Ui& ui, const Rect& place, const app::WinterPlan& plan) {
    const Rect card = begin_card(ui, place);
    Painter& paint = ui.paint();
    const Rect inside = begin_scroll(ui, "order", card, order_h_, scroll_, true);
    const float width = inside.w() - ui.em(0.5F);
    float y = inside.y0 + ui.em(1.0F);
    section_head(ui, {inside.x0, inside.y0, inside.x1, card.y1}, y, plan.tone + " after " + fixed_text(plan.dips.back().at_s / 60.0, 0) + " min", "bath " + plan.bath);
    y += ui.em(2.75F);
    const float figure = paint.text(Type::figure, ui.colour(Role::ink), {inside.x0, y}, hangs(plan.dips.back().colder_s));
    paint.text(Type::lead, ui.colour(Role::text), {inside.x0 + figure + ui.em(0.75F), y}, "was " + hangs(plan.dips.back().before_s));
    y += ui.em(1.5F);
    y += paint.text_wrapped(Type::label, ui.colour(Role::text), {inside.x0, y}, width,
                            fmt::format("the first piece {} (aim {} to {}); the room {}", hangs(plan.colder.first.out_s), hangs(plan.colder.first.low_s),
                                        hangs(plan.colder.first.high_s), plan.room_from)) +
         ui.em(0.5F);
    y += paint.text_wrapped(Type::body, ui.colour(Role::text), {inside.x0, y}, width, plan.words.back(), Align::left, ui.em(1.5F));
    y += ui.em(1.0F);
    section_head(ui, {inside.x0, y, inside.x1, card.y1}, y, "In this order", "");
    y += ui.em(1.75F);
    for (std::size_t i = 0; i < plan.order.size(); ++i) {
        const app::WinterHelp& help = plan.order[i];
        paint.text(Type::strong, ui.colour(i == 0 ? Role::look : Role::ink), {inside.x0, y}, fmt::format("{}. {}", i + 1, help.what));
        y += ui.em(1.375F);
        y += paint.text_wrapped(Type::label, ui.colour(Role::text), {inside.x0, y}, width, help.words, Align::left, ui.em(1.25F));
        if (!help.from.empty()) {
            y += paint.text_wrapped(Type::label, ui.colour(Role::quiet), {inside.x0, y}, width, help.from, Align::left, ui.em(1.25F));
        }
        y += ui.em(0.5F);
    }
    y += paint.text_wrapped(Type::label, ui.colour(Role::text), {inside.x0, y}, width, plan.words.front(), Align::left, ui.em(1.25F)) + ui.em(0.5F);
    for (const std::string& caution : plan.cautions) {
        y += paint.text_wrapped(Type::label, ui.colour(Role::quiet), {inside.x0, y}, width, caution, Align::left, ui.em(1.25F)) + ui.em(0.25F);
    }
    order_h_ = y - inside.y0;
    end_scroll(ui);
    end_card(ui);
}

}  // namespace tonebath::window
