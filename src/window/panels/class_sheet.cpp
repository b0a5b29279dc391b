#include "window/panels/class_sheet.hpp"

#include "app/studio.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr std::string_view kMinor = "minor";  // a hint: the chosen seat is set as a minor, or no longer

bool holds_back(const app::ClassSeat& seat) {
    return (seat.use == SeatUse::in_use && !seat.briefed) || (seat.over && !seat.let_in) || seat.no_consent;
}

}  // namespace

SeatState seat_state(const app::ClassSeat& seat) {
    if (seat.use == SeatUse::watching) {
        return SeatState::watching;
    }
    if (seat.use == SeatUse::empty || (!seat.asked && !seat.briefed)) {
        return SeatState::waiting;
    }
    return seat.briefed ? SeatState::briefed : SeatState::not_briefed;
}

void ClassSheet::open(std::string number) {
    open_ = true;
    stale_ = true;
    asked_ = std::move(number);
    chosen_ = 0;
    shows_plan_ = false;
}

void ClassSheet::read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned, app::Reckoner& reckoner) {
    stale_ = false;
    view_ = app::class_view(studio, asked_);
    if (chosen() == nullptr || !holds_back(*chosen())) {
        choose_first();
    }
    if (learned && !view_.number.empty()) {
        plan_.ask(reckoner, [learned, number = view_.number](app::Studio& own, const app::StillWanted&) {
            return app::class_plan(own, *learned, number);
        });
    }
}

const app::ClassSeat* ClassSheet::chosen() const {
    const auto found = std::find_if(view_.seats.begin(), view_.seats.end(),
                                    [this](const app::ClassSeat& seat) { return seat.number == chosen_; });
    return found == view_.seats.end() ? nullptr : &*found;
}

// The first that holds the class back; else what was chosen before, else the first of all.
void ClassSheet::choose_first() {
    const auto found = std::find_if(view_.seats.begin(), view_.seats.end(), holds_back);
    if (found != view_.seats.end()) {
        chosen_ = found->number;
    } else if (chosen() == nullptr) {
        chosen_ = view_.seats.empty() ? 0 : view_.seats.front().number;
    }
}

void ClassSheet::move(int step) {
    const app::ClassSeat* now = chosen();
    if (now == nullptr) {
        return;
    }
    const auto at = static_cast<int>(now - view_.seats.data()) + step;
    chosen_ = view_.seats[static_cast<std::size_t>(std::clamp(at, 0, static_cast<int>(view_.seats.size()) - 1))].number;
}

void ClassSheet::wish(std::string_view action, Wishes& wishes) const {
    const app::ClassSeat* seat = chosen();
    app::Form form{.action = std::string(action), .typed = {{"class", view_.number}}};
    if (action == "class.add" || action == "class.incident") {
        wishes.add(WishSheet{.action = form.action, .filled = action == "class.add" ? std::map<std::string, std::string>{} : form.typed});
        return;
    }
    if (action == "class.brief" || action == "class.seat" || action == "class.consent") {
        if (seat == nullptr) {
            return;
        }
        form.typed["seat"] = std::to_string(seat->number);
        if (action == "class.seat" && seat->over && !seat->let_in) {
            wishes.add(WishSheet{.action = form.action, .filled = form.typed});  // a name and a reason are wanted
            return;
        }
        if (action == "class.seat") {
            form.typed["use"] = seat->use == SeatUse::in_use ? "watching" : "in use";
        }
    }
    wishes.add(WishForm{.form = std::move(form)});
}

void ClassSheet::listen(Ui& ui, const Glance& glance, Wishes& wishes) {
    if (ui.pressed(Key::down)) {
        move(1);
    }
    if (ui.pressed(Key::up)) {
        move(-1);
    }
    if (ui.pressed(Key::right) || ui.pressed(Key::left)) {
        shows_plan_ = !shows_plan_;
    }
    if (glance.read_only) {
        return;
    }
    for (const FootHint& hint : hints()) {
        if (hint.key.key != Key::none && hint.id != "class.brief" && hint.id != "class.seat" && ui.pressed(hint.key.key)) {
            hint_used(hint.id, wishes);
        }
    }
}

std::vector<FootHint> ClassSheet::hints() const {
    if (view_.number.empty()) {
        return {{.id = "close", .cap = "Esc", .words = "close the sheet", .key = {}}};
    }
    std::vector<FootHint> hints{{.id = "pick", .cap = "↑ ↓", .words = "pick a seat", .key = {}},
                                {.id = "class.brief", .cap = "B", .words = "brief", .key = Key::b},
                                {.id = "class.seat", .cap = "W", .words = "watching", .key = Key::w},
                                {.id = "class.hand-out", .cap = "H", .words = "hand-outs given", .key = Key::h},
                                {.id = "class.incident", .cap = "I", .words = "incident", .key = Key::i}};
    if (view_.consent_asked && !view_.ended) {
        hints.push_back({.id = std::string(kMinor), .cap = "M", .words = "a minor", .key = Key::m});
    }
    return hints;
}

void ClassSheet::hint_used(std::string_view id, Wishes& wishes) {
    if (id == "close") {
        open_ = false;
    } else if (const app::ClassSeat* seat = chosen(); id == kMinor && seat != nullptr) {
        wishes.add(WishForm{.form = {.action = "class.seat",
                                     .typed = {{"class", view_.number}, {"seat", std::to_string(seat->number)}, {"minor", seat->minor ? "no" : "yes"}}}});
    } else if (id.starts_with("class.")) {
        wish(id, wishes);
    }
}

void ClassSheet::draw(Ui& ui, float hung_from_x, const Glance& glance, Wishes& wishes) {
    if (!open_) {
        return;
    }
    plan_.look();
    Sheet sheet(ui, "class", view_.number.empty() ? "Class" : view_.head, hung_from_x);
    Rect inside = sheet.inside();
    Rect head = inside.cut_top(ui.em(3.25F));
    if (view_.number.empty()) {
        page_head(ui, head.x0, head.y0 + ui.em(1.75F), "Class");
        const EmptyView empty{.id = "no class",
                              .scale = &ui.look().silver,
                              .fact = "No class is written down.",
                              .todo = "Seats, your own limit, and one who may supervise.",
                              .button = glance.read_only ? "" : "Write down a class",
                              .key = Key::space,
                              .copper = true};
        if (empty_state(ui, inside.centred(std::min(inside.w(), ui.em(58.0F)), ui.em(8.0F)), empty)) {
            wish("class.add", wishes);
        }
    } else {
        Painter& paint = ui.paint();
        const float right_w = paint.text_width(Type::strong, view_.supervisor) + ui.em(1.0F);
        const float x = page_head(ui, head.x0, head.y0 + ui.em(1.75F), view_.head);
        paint.text(Type::lead, ui.colour(Role::text), {x + ui.em(1.125F), head.y0 + ui.em(1.75F)},
                   paint.ellipsis(Type::lead, std::max(ui.em(2.0F), head.x1 - right_w - x - ui.em(1.125F)), view_.title));
        paint.text(Type::strong, ui.colour(Role::ink), {head.x1, head.y0 + ui.em(0.875F)}, view_.supervisor, Align::right);
        paint.text(Type::label, ui.colour(Role::text), {head.x1, head.y0 + ui.em(2.25F)}, view_.second, Align::right);
        const bool narrow = ui.width() == Width::narrow;
        Rect left = inside.cut_left(narrow ? ui.em(22.0F) : std::round(inside.w() * 0.463F));
        inside.cut_left(ui.em(1.25F));
        upright_divider(ui, inside.x0, inside.y0, inside.y1 - ui.em(0.25F));
        inside.cut_left(ui.em(1.25F));
        listen(ui, glance, wishes);
        if (!narrow) {
            // Seats take what they need, and leave the plan at least what it needs.
            const std::size_t rows = (view_.seats.size() + 1) / 2;
            const float seats_h = ui.em(2.5F) + ui.em(3.25F) * static_cast<float>(rows);
            draw_seats(ui, left.cut_top(std::min(seats_h, left.h() - ui.em(16.5F))));
            draw_plan(ui, left.cut_top(std::min(left.h(), ui.em(24.0F))));
        } else if (shows_plan_) {
            draw_plan(ui, left.cut_top(ui.em(16.5F)));
        } else {
            draw_seats(ui, left);
        }
        draw_right(ui, inside, glance, wishes);
    }
    if (sheet.closed()) {
        open_ = false;
    }
}

void ClassSheet::draw_seats(Ui& ui, Rect place) {
    const std::size_t columns = ui.width() == Width::narrow ? 1 : 2;
    const Rect head = place.cut_top(ui.em(1.75F));
    section_head(ui, head, head.y0 + ui.em(1.0F), "Seats", columns == 1 ? "" : view_.seats_words, false);
    ui.paint().text(Type::label, ui.colour(Role::text), {head.x1, head.y0 + ui.em(1.0F)}, view_.use_words, Align::right);
    const std::size_t rows = (view_.seats.size() + columns - 1) / columns;
    const float fits = place.h() / static_cast<float>(std::max<std::size_t>(1, rows));
    const float row_h = std::clamp(fits, ui.em(2.75F), ui.em(3.25F));
    const Rect inside = begin_scroll(ui, "seats", place, row_h * static_cast<float>(rows), scroll_, true);
    const float gap = columns > 1 ? ui.em(1.25F) : 0.0F;
    const float column_w = std::round((inside.w() - gap) / static_cast<float>(columns));
    for (std::size_t i = 0; i < view_.seats.size(); ++i) {
        const float x = inside.x0 + (column_w + gap) * static_cast<float>(i / std::max<std::size_t>(1, rows));
        const Rect line = Rect::at(x, inside.y0 + row_h * static_cast<float>(i % std::max<std::size_t>(1, rows)), column_w, row_h);
        if (line.overlap(place).h() > row_h * 0.6F) {
            draw_seat(ui, line, view_.seats[i]);
        }
    }
    end_scroll(ui);
}

void ClassSheet::draw_seat(Ui& ui, const Rect& place, const app::ClassSeat& seat) {
    Painter& paint = ui.paint();
    const std::string id = fmt::format("seat {}", seat.number);
    const Touch touch = ui.touch(id, place);
    if (touch.activated) {
        chosen_ = seat.number;
    }
    const bool is_chosen = chosen_ == seat.number;
    const Colour bg = is_chosen ? ui.colour(Role::raised) : paint.surface();
    const float radius = ui.em(ui.look().radius.control);
    if (is_chosen) {
        paint.fill(place.shrunk(0, paint.px(1)), bg, radius);
        paint.outline(place.shrunk(0, paint.px(1)), ui.colour(Role::copper), paint.px(ui.look().stroke.mark), radius);
    } else {
        paint.hline(place.x0, place.x1, place.y1 - paint.px(1), ui.colour(Role::line), ui.look().stroke.hair);
    }
    paint.push_surface(bg);
    const float mid = std::round(place.mid_y());
    seat_disc(ui, seat_state(seat), std::to_string(seat.number), {place.x0 + ui.em(1.75F), mid}, ui.em(1.0625F));
    const float x = place.x0 + ui.em(3.25F);
    const std::string head = seat.head + (seat.who.empty() ? "" : " · " + seat.who) + (seat.aim.empty() ? "" : " · to " + seat.aim);
    const float room = place.x1 - ui.em(1.75F) - x;
    paint.text(Type::strong, ui.colour(Role::ink), {x, mid - ui.em(0.25F)}, paint.ellipsis(Type::strong, room, head));
    paint.text(Type::label, ui.colour(Role::text), {x, mid + ui.em(0.9375F)}, paint.ellipsis(Type::label, room, seat.more));
    if (holds_back(seat) && !view_.past) {
        draw_mark(ui, Mark::warn, {place.x1 - ui.em(1.0F), mid}, ui.em(0.625F));
    } else if (seat.use == SeatUse::in_use && seat.briefed) {
        draw_mark(ui, Mark::done, {place.x1 - ui.em(1.0F), mid}, ui.em(0.625F));
    }
    paint.pop_surface();
    if (touch.ring) {
        ui.draw_focus_ring(place, radius);
    }
    ui.report(id, {.kind = "row", .label = fmt::format("Seat {}, {}", seat.number, head), .value = is_chosen ? "chosen" : seat.more, .rect = place,
                   .fg = ui.colour(Role::ink), .bg = bg});
}

}  // namespace tonebath::window
