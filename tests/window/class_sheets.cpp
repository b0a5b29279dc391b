#include "window/sheets.hpp"

#include "window/driver.hpp"

#include "window/widgets/bars.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/rail.hpp"
#include "window/widgets/timer.hpp"
#include "window/widgets/wires.hpp"

#include <cmath>

namespace tonebath::testing {

using namespace tonebath::window;

namespace {

RailView rail_of(int chosen, LoopArc arc, std::string fact, std::string clock) {
    return {{"Today", "Bench", "Baths", "Tones", "Pieces", "Stones", "Coats", "Safety"},
            chosen,
            arc,
            std::move(fact),
            {},
            std::move(clock),
            false};
}

void words(Ui& ui, Type type, Role role, float x, float y, std::string_view text, Align align = Align::left) {
    ui.paint().text(type, ui.colour(role), {at(ui, x), at(ui, y)}, text, align);
}

FootHint hint(std::string id, Key key, std::string said) {
    return {std::move(id), std::string(key_cap(key)), std::move(said), key};
}

}  // namespace

void class_sheet(Ui& ui, SheetState& state) {
    rail(ui, rail_of(0, LoopArc::dip, "class · 12 min to go", "12:48"));
    Sheet sheet(ui, "class", "Class at 13:00", rail_tag_x(ui, 0));
    foot(ui, {{"close", "Esc", "close the sheet", {}}}, "Written 12:47:20");
    if (sheet.closed()) {
        state.pressed = "closed";
    }
    page_head(ui, at(ui, 56), at(ui, 142), "Class at 13:00", "Groyne bar brooch, copper");
    RefusalView refusal;
    refusal.id = "refused";
    refusal.head = "Start refused, two reasons";
    refusal.reasons = {{"seat",
                        Mark::stop,
                        std::pair{SeatState::not_briefed, std::string("6")},
                        "Seat 6 has not confirmed the briefing",
                        "brief the seat, or set it to watching",
                        {},
                        {}},
                       {"air", Mark::stop, std::nullopt, "Air check of 09:21 is over: it held for that session",
                        "the fan and the window are asked again", Key::d8, "Safety"}};
    refusal.rest = "Everything else may go on: hand-outs, seats, plan.";
    if (const std::string used = refusal_band(ui, box(ui, 644, 172, 580, 196), refusal); !used.empty()) {
        state.pressed = used;
    }
    if (button_do(ui, "brief", box(ui, 644, 384, 212, 52), "Brief seat 6", Key::b)) {
        state.pressed = "brief";
    }
    button_plain(ui, "watch", box(ui, 868, 384, 212, 52), "Set to watching", Key::w);
    ButtonStyle refused;
    refused.refused = "two reasons, above";
    refused.reason_beside = false;
    button_quiet(ui, "start", box(ui, 1092, 384, 132, 52), "Start class", {}, refused);
    ChecklistItem stop{"air",
                       CheckLevel::stop,
                       CheckState::current,
                       "Air is moving and pulls away from my face",
                       {},
                       "Gas comes off while mixing, before the bath is even hot.",
                       {{"fan", "Fan is on", Key::f}, {"other", "Other setting", Key::t}},
                       "no bath can start"};
    checklist_item(ui, box(ui, 56, 180, 560, 118), stop);
    ChecklistItem done{
        "goggles", CheckLevel::must, CheckState::answered, "Goggles, gloves and apron are on", "worn", {}, {}, {}};
    checklist_item(ui, box(ui, 56, 306, 560, 54), done);
    ChecklistItem open{"second", CheckLevel::advise, CheckState::open, "A second person knows I am working", {}, {}, {},
                       {}};
    checklist_item(ui, box(ui, 56, 360, 560, 54), open);
    toggle(ui, "sound", box(ui, 56, 430, 300, 44), "Voice at the bench", state.sound);
    choice_segmented(ui, "metal", box(ui, 56, 490, 560, 36), "Metal",
                     {{"sterling", "Sterling, bright", "31", {}},
                      {"fine", "Fine silver", "24", {}},
                      {"brass", "Red brass", "6", {}}},
                     state.metal);
    float x = 420;
    for (const StoneView& stone : {StoneView{StoneState::unharmed, 0, false}, StoneView{StoneState::harmed, 0, false},
                                   StoneView{StoneState::not_seen, 0, false}, StoneView{StoneState::plain, 1, false},
                                   StoneView{StoneState::plain, 2, false}, StoneView{StoneState::plain, 1, true}}) {
        draw_stone(ui, stone, {at(ui, x), at(ui, 600)}, at(ui, stone.state == StoneState::plain ? 12 : 9.5F));
        x += stone.state == StoneState::plain ? 52.0F : 28.0F;
    }
    for (const SeatState seat : {SeatState::briefed, SeatState::not_briefed, SeatState::watching, SeatState::next_in}) {
        seat_disc(ui, seat, "9", {at(ui, x), at(ui, 600)}, at(ui, 17));
        x += 44;
    }
    column_scale(ui, box(ui, 660, 470, 16, 220), 0.7F, ui.colour(Role::look), true);
    choice_list(ui, "metal list", box(ui, 56, 570, 260, 48), "Metal of the piece",
                {{"sterling", "Sterling, bright", "31", {}},
                 {"fine", "Fine silver", "24", {}},
                 {"brass", "Red brass", "6", {}}},
                state.metal, state.list);
}

void lanes_sheet(Ui& ui) {
    const auto scope = ui.scope("lanes");
    rail(ui, rail_of(1, LoopArc::dip, "class · 12 of 12 briefed", "14:24"));
    words(ui, Type::lead, Role::text, 32, 112, "Next out");
    seat_disc(ui, SeatState::in_bath, "7", {at(ui, 78), at(ui, 172)}, at(ui, 46));
    timer_digits(ui, Type::next, ui.colour(Role::ink), {at(ui, 148), at(ui, 206)}, "12", "s", Type::figure);
    bench_key(ui, box(ui, 336, 88, 416, 80), {.label = "Seat 7 out", .then = "to blue", .compact = true});
    wire_across(ui, at(ui, 32), at(ui, 1248), at(ui, 250));
    ui.paint().gradient_down(box(ui, 32, 464, 1216, 208), ui.colour(Role::look).faded(0.18F),
                             ui.colour(Role::look).faded(0.04F));
    for (int i = 0; i < 12; ++i) {
        const float x = 82.7F + 101.3F * static_cast<float>(i);
        const bool in = i >= 5 && i <= 8;
        const float top = in ? 462 : 276;
        wire_down(ui, at(ui, x), at(ui, 250), at(ui, top + 8));
        seat_disc(ui,
                  in       ? SeatState::in_bath
                  : i == 9 ? SeatState::next_in
                           : SeatState::waiting,
                  std::to_string(i + 1), {at(ui, x), at(ui, 250)}, at(ui, 17));
        lane_strip(ui, box(ui, x - 19, top, 38, 168),
                   {.scale = &ui.look().silver,
                    .film = i < 9 ? 0.3F + 0.05F * static_cast<float>(i % 5) : 0,
                    .film_known = i < 9,
                    .aim = std::pair{0.6F, 0.7F},
                    .in_rinse = i == 4});
        words(ui, in ? Type::figure : Type::strong, Role::ink, x, in ? 722.0F : 722.0F, in ? "28" : "in 33 s",
              Align::centre);
        words(ui, Type::label, Role::text, x, 744, "to blue", Align::centre);
    }
    foot(ui, {hint("aside", Key::x, "set aside"), hint("undo", Key::u, "undo last press")},
         "Pressed 14:24:31, written");
}

EmergencyResult emergency_sheet(Ui& ui) {
    EmergencyView page;
    page.id = "splash";
    page.first = "Eye: running water now";
    page.first_note = "Lids held open, lenses out. Do not stop to read on.";
    page.second = "At least 15 minutes";
    page.second_note = "Then hospital, and take the safety sheet along.";
    page.counter_name = "page open for";
    page.counter = "0:42";
    page.counter_note = "rinse on past 15:00";
    page.rows = {
        {"Skin",
         {"Splashed clothes off. Running water, at least 15 minutes.", "Burn, pain or a large area: hospital."}},
        {"Swallowed", {"Rinse the mouth. No vomiting, no food, no vinegar.", "Call the poison line. Hospital."}}};
    page.cards = {{"Emergency", ""}, {"Poison line", ""}, {"You are at", "Old Slip, top floor"}};
    page.hints = {{"back", "Esc", "back, nothing is asked", Key::esc}, {"next", "F12", "gas, then fire", Key::f12}};
    page.foot_note = "Numbers and address: entered at first start, printed on the door card.";
    return emergency_page(ui, Driver::look_book().contrast, page);
}

}  // namespace tonebath::testing
