#include "window/sheets.hpp"

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

void bench_sheet(Ui& ui, SheetState& state) {
    const auto scope = ui.scope("bench");
    const DrawnScale& silver = ui.look().silver;
    rail(ui, rail_of(1, LoopArc::dip, "fan on · 2 people here", "09:52"));
    number_tag(ui, TagShape::piece, "L-131", at(ui, 32), at(ui, 116), {.height_em = 2.5F});
    words(ui, Type::lead, Role::ink, 150, 112, "Limpet, sterling lid");
    words(ui, Type::label, Role::text, 150, 134, "bright · first dip · 1 of 18");
    number_tag(ui, TagShape::bath, "Bath 46", at(ui, 352), at(ui, 116), {.height_em = 2.5F});
    words(ui, Type::lead, Role::ink, 480, 112, "gentle stir");
    words(ui, Type::label, Role::text, 480, 134, "LS-2, 5.0 g/L, 22 min old");
    words(ui, Type::lead, Role::text, 32, 196, "Out in");
    timer_digits(ui, Type::timer, ui.colour(Role::ink), {at(ui, 26), at(ui, 372)}, "23", "s");
    words(ui, Type::leads, Role::ink, 32, 416, "aim 17 to 30 s from now");
    words(ui, Type::lead, Role::text, 277.6F, 416, "in for 0:32");
    words(ui, Type::lead, Role::text, 500, 196, "Should be near");
    words(ui, Type::word, Role::ink, 498, 262, "amber");
    words(ui, Type::lead, Role::text, 500, 316, "Aim");
    words(ui, Type::word, Role::copper, 498, 380, "blue");
    words(ui, Type::lead, Role::text, 500, 416, "equal to 27 s at 60 °C, fresh");
    begin_card(ui, box(ui, 846, 96, 402, 92));
    draw_mark(ui, Mark::look, {at(ui, 884), at(ui, 142)}, at(ui, 17));
    words(ui, Type::title, Role::ink, 918, 136, "Look in 7 s");
    words(ui, Type::label, Role::text, 918, 166, "lift, rinse, look: three taps");
    end_card(ui);
    begin_card(ui, box(ui, 846, 200, 402, 216));
    words(ui, Type::strong, Role::ink, 866, 232, "Bath now");
    words(ui, Type::label, Role::text, 1228, 232, "reading 51.8 °C, 2 min ago", Align::right);
    figure_with_unit(ui, {at(ui, 866), at(ui, 284)}, "51.4", "°C");
    figure_with_unit(ui, {at(ui, 1032), at(ui, 284)}, "0.49", "of 60 °C fresh", Type::label);
    PlotView cooling;
    cooling.id = "cooling";
    cooling.label = "bath temperature";
    cooling.x = {.low = 0, .high = 35, .most_ticks = 1, .labels = false};
    cooling.y = {.low = 42, .high = 61, .most_ticks = 1, .labels = false, .grid = false};
    PlotLine measured{"measured", {}, false, false, true, {}, std::nullopt};
    PlotLine expected{"left alone", {}, true, false, false, {}, std::nullopt};
    for (int i = 0; i <= 35; ++i) {
        const PlotPoint p{static_cast<double>(i), 20 + 40.2 * std::exp(-0.0115 * i)};
        (i <= 22 ? measured.points : expected.points).push_back(p);
    }
    cooling.marks = {{"readings", {measured.points[0], measured.points[10], measured.points[19]}, false, {}}};
    cooling.lines = {measured, expected};
    cooling.now = PlotNow{22.2, {}, 19.7};
    plot(ui, box(ui, 866, 300, 362, 81), cooling, state.plot);
    words(ui, Type::label, Role::text, 866, 402, "60.2 made up");
    words(ui, Type::label, Role::ink, 1096, 402, "now", Align::centre);
    words(ui, Type::label, Role::text, 1228, 402, "throw by 16:20", Align::right);
    end_card(ui);
    StripView dip;
    dip.scale = &silver;
    dip.pin = TonePlace{silver.index_of("amber"), 0.85F};
    dip.pin_is_film = true;
    dip.aim = ToneSpan{{silver.index_of("blue"), 0}, {silver.index_of("blue"), 1}};
    dip.aim_word = "aim";
    dip.may_land = ToneSpan{{silver.index_of("purple"), 0.66F}, {silver.index_of("gunmetal"), 0.42F}};
    dip.may_land_words = "may land";
    dip.look = TonePlace{silver.index_of("purple"), 0.1F};
    dip.label = "L-131 in the bath";
    tone_strip(ui, box(ui, 32, 488, 1216, 104), dip, StripSize::bench);
    const BenchPress press = bench_key(ui, box(ui, 32, 664, 1216, 84),
                                       {.label = "Lift out L-131, into the rinse", .then = "then rinse 30 s"});
    if (press.pressed) {
        state.pressed = "out";
    }
    const FootResult used = foot(ui,
                                 {hint("undo", Key::u, "undo last press"), hint("reading", Key::r, "reading"),
                                  hint("note", Key::n, "note for later"), hint("sound", Key::m, "sound: voice")},
                                 "Pressed 09:52:17, written");
    if (!used.used.empty()) {
        state.pressed = used.used;
    }
}

void day_sheet(Ui& ui, SheetState& state) {
    const auto scope = ui.scope("today");
    const DrawnScale& silver = ui.look().silver;
    const RailResult turned = rail(ui, rail_of(0, LoopArc::plan, "room 17.0 °C, 58 % RH", "09:42"));
    if (turned.page) {
        state.pressed = "page " + std::to_string(*turned.page + 1);
    }
    page_head(ui, at(ui, 32), at(ui, 120), "Tuesday 31 March");
    const float w =
        ui.paint().text_width(Type::label, "lacquer waits: dew-point margin 8.3 °C, under 11.1 °C, may cloud");
    mark_with_word(ui, Mark::wait, {at(ui, 1248) - w - at(ui, 18), at(ui, 113)},
                   "lacquer waits: dew-point margin 8.3 °C, under 11.1 °C, may cloud");
    DayView day;
    day.now_hour = 9.7;
    day.tags = {
        {"coats", 7.75, "07:45 Coats cured", {"36 stones, 3 coats"}, false, Mark::done, {}, {}, 0},
        {"bath", 9.5, "09:30 Bath 46 made up", {"LS-2, 5.0 g/L, V3"}, false, Mark::done, {}, {}, 0},
        {"batch", 9.83, "09:50 Batch 31", {"18 Limpet, sterling lids", "3 racks of 6, aim blue"}, true, {}, {}, {}, 0},
        {"class",
         13,
         "13:00 Class",
         {"10 seats, limit 10", "waiting: 6 of 10 briefed"},
         true,
         Mark::wait,
         "C",
         Key::c,
         0},
        {"throw",
         16.33,
         "16:20 Bath 46, throw by",
         {"then 400 ml to keep back,", "collection booked, 2 Apr"},
         false,
         {},
         {},
         {},
         0}};
    if (const std::string used = day_wire(ui, box(ui, 32, 132, 1216, 240), day); !used.empty()) {
        state.pressed = used;
    }
    begin_card(ui, box(ui, 32, 392, 760, 350));
    section_head(ui, box(ui, 56, 400, 712, 30), at(ui, 428), "Next at the bench");
    number_tag(ui, TagShape::batch, "Batch 31", at(ui, 56), at(ui, 461));
    words(ui, Type::body, Role::text, 168, 467, "18 Limpet, sterling lid on copper cup");
    words(ui, Type::label, Role::text, 768, 466, "this piece may land: purple to gunmetal", Align::right);
    StripView plan;
    plan.scale = &silver;
    plan.aim = ToneSpan{{silver.index_of("blue"), 0}, {silver.index_of("blue"), 1}};
    plan.may_land = ToneSpan{{silver.index_of("purple"), 0.5F}, {silver.index_of("gunmetal"), 0.8F}};
    plan.label = "plan of batch 31";
    plan.id = "plan";
    tone_strip(ui, box(ui, 56, 520, 712, 56), plan, StripSize::plan);
    figure_with_unit(ui, {at(ui, 56), at(ui, 656)}, "43 s", "");
    words(ui, Type::strong, Role::ink, 160, 636, "aim 34 to 55 s, if in now, at 55.3 °C");
    words(ui, Type::body, Role::text, 160, 657, "equal to 27 s at 60 °C, fresh. Look from 30 s.");
    words(ui, Type::body, Role::text, 56, 694, "From 6 strips in LS-2 and none in this bath yet.");
    words(ui, Type::body, Role::text, 56, 718, "One strip at 40 s would bring it to 38 to 49 s.");
    if (button_plain(ui, "strip", box(ui, 480, 674, 140, 48), "Dip a strip", Key::s)) {
        state.pressed = "strip";
    }
    ButtonStyle both;
    both.enter_too = true;
    if (button_do(ui, "start", box(ui, 632, 674, 136, 48), "Start", Key::space, both)) {
        state.pressed = "start";
    }
    end_card(ui);
    section_head(ui, box(ui, 832, 400, 416, 30), at(ui, 428), "Owed", "5");
    struct Owed {
        TagShape shape;
        const char* tag;
        const char* what;
        const char* more;
        Mark mark;
        const char* word;
    };
    float y = 446;
    for (const Owed& owed :
         {Owed{TagShape::piece, "L-058", "30-day look, sold 28 Feb", "Limpet, 3 coats, LQ-2", Mark::look, "look"},
          Owed{TagShape::piece, "S-017", "90-day look, sold 31 Dec", "Samphire pair, 2 coats", Mark::look, "look"},
          Owed{TagShape::lot, "LS-1", "opened 6 months, strips slower", "times 1.8 since the damp class", Mark::wait,
               "ageing"},
          Owed{TagShape::bath, "Bath 45", "400 ml kept back since Friday", "collection booked, Thursday 2 Apr",
               Mark::owed, "owed"},
          Owed{TagShape::batch, "Fill in", "3 blanks from Saturday", "one rinse, two who", Mark::unknown,
               "not known"}}) {
        divider(ui, at(ui, 832), at(ui, 1248), at(ui, y));
        number_tag(ui, owed.shape, owed.tag, at(ui, 832), at(ui, y + 28), {.height_em = 1.875F, .width_em = 5.75F});
        words(ui, Type::strong, Role::ink, 940, y + 25, owed.what);
        words(ui, Type::label, Role::text, 940, y + 46, owed.more);
        mark_over_word(ui, owed.mark, at(ui, 1248), at(ui, y + 21), at(ui, y + 46), owed.word);
        y += 58;
    }
    divider(ui, at(ui, 832), at(ui, 1248), at(ui, y));
    foot(ui,
         {{"space", "Space", "start the next dip", {}},
          {"class hint", "C", "class sheet", {}},
          hint("find", Key::f, "find"),
          hint("action", Key::slash, "find an action"),
          hint("keys", Key::question, "keys")},
         "Written 09:41:58");
}

void baths_sheet(Ui& ui, SheetState& state) {
    const auto scope = ui.scope("baths");
    rail(ui, rail_of(2, LoopArc::record, "Bath 46 · 45.9 °C", "10:40"));
    TableView list;
    list.id = "list";
    list.label = "Baths";
    list.head = false;
    list.row_em = 4.25F;
    list.row_count = 3;
    list.columns = {{"tag", "", 6.25F, Align::left, false}, {"what", "", 0, Align::left, false}};
    list.row = [](int i) { return TableRow{"b" + std::to_string(46 - i), "Bath " + std::to_string(46 - i)}; };
    list.cell = [](Ui& u, int i, const Column& c, const Rect& r, bool chosen) {
        if (c.id == "tag") {
            number_tag(u, TagShape::bath, "Bath " + std::to_string(46 - i), r.x0, r.mid_y(),
                       {.height_em = 1.875F, .width_em = 5.75F});
        } else {
            u.paint().text_in(chosen ? Type::strong : Type::body, u.colour(Role::ink), r, "in use, 45.9 °C");
        }
    };
    state.table.chosen = state.table.chosen.empty() ? "b46" : state.table.chosen;
    section_head(ui, box(ui, 32, 80, 256, 40), at(ui, 112), "Baths", "46 so far");
    table(ui, box(ui, 32, 124, 256, 210), list, state.table);
    begin_card(ui, box(ui, 320, 146, 928, 424));
    PlotView cooling;
    cooling.id = "portrait";
    cooling.label = "Bath 46 through the morning";
    cooling.x = {.kind = AxisKind::time_of_day, .low = 9.5, .high = 12.5, .most_ticks = 7};
    cooling.y = {.low = 20, .high = 62, .unit = "°C", .most_ticks = 5};
    PlotLine measured{"temperature", {}, false, false, false, {}, std::nullopt};
    PlotLine expected{"if left alone", {}, true, false, false, "expected, if left alone", PlotPoint{11.4, 38}};
    PlotBand band{"expected range", {}, {}};
    for (int i = 0; i <= 60; ++i) {
        const double x = 9.5 + 0.05 * i;
        const double y = 20 + 40 * std::exp(-(x - 9.5) * 0.45);
        (x <= 10.67 ? measured.points : expected.points).push_back({x, y});
        if (x >= 10.6) {
            band.low.push_back({x, y - (x - 10.6) * 1.2});
            band.high.push_back({x, y + (x - 10.6) * 1.2});
        }
    }
    cooling.marks = {
        {"readings", {measured.points[0], measured.points[4], measured.points[9], measured.points[18]}, false, {}}};
    cooling.lines = {measured, expected};
    cooling.bands = {band};
    cooling.now = PlotNow{10.67, "now 45.9 °C", std::nullopt};
    plot(ui, box(ui, 336, 270, 880, 284), cooling, state.plot);
    end_card(ui);
    section_head(ui, box(ui, 320, 580, 560, 24), at(ui, 600), "Reading", "Enter takes nothing until you choose", false);
    FieldView reading;
    reading.unit = "°C";
    reading.label = "Temperature";
    reading.name_shown = false;
    reading.big = true;
    reading.question.guess = "That looks like °F: 140 °F is 60.0 °C.";
    reading.question.asks = "Last reading 47.6 °C at 10:35: reheated since?";
    reading.question.answers = {{"reheated", "60.0 °C, reheated", Key::h},
                                {"not", "60.0 °C, not reheated", Key::n},
                                {"blank", "Blank", Key::esc}};
    const Rect beside = box(ui, 519, 624, 380, 48);
    const Rect answers = box(ui, 320, 684, 568, 52);
    const FieldResult result =
        field(ui, "reading", box(ui, 320, 616, 180, 52), reading, state.reading, &beside, &answers);
    if (!result.answer.empty()) {
        state.pressed = result.answer;
    }
    if (result.entered) {
        state.pressed = "entered";
    }
    upright_divider(ui, at(ui, 912), at(ui, 592), at(ui, 736));
    section_head(ui, box(ui, 936, 580, 312, 24), at(ui, 600), "Left in this bath");
    words(ui, Type::strong, Role::ink, 936, 630, "Fade ends it, not use.");
    words(ui, Type::title, Role::ink, 936, 734, "93 s");
    words(ui, Type::body, Role::text, 1005, 732, "was 43 s at 09:42");
    foot(ui,
         {hint("reading key", Key::r, "reading"), hint("top up", Key::t, "top up"),
          hint("print", Key::p, "print label"), hint("dispose", Key::d, "dispose")},
         "Written 10:39:50");
}

void pieces_sheet(Ui& ui, SheetState& state) {
    const auto scope = ui.scope("pieces");
    const DrawnScale& silver = ui.look().silver;
    rail(ui, rail_of(4, LoopArc::learn, "212 pieces", "11:32"));
    FieldView find;
    find.label = "Find a piece";
    find.name_shown = false;
    find.kind = FieldKind::text;
    find.plain_letters = true;
    find.note = "18 pieces";
    find.empty = "find";
    field(ui, "find", box(ui, 32, 88, 552, 44), find, state.find);
    TableView list;
    list.id = "list";
    list.label = "Pieces";
    list.row_count = 40;
    list.columns = {{"number", "Number", 7.5F, Align::left, false},
                    {"rack", "Rack, dip", 8.5F, Align::left, false},
                    {"tone", "Tone after dip", 0, Align::left, false},
                    {"seal", "Seal", 3.75F, Align::left, true}};
    list.open_words = "open";
    list.row = [](int i) {
        return TableRow{"L-" + std::to_string(141 + i), "L-" + std::to_string(141 + i) + ", blue"};
    };
    list.cell = [&silver](Ui& u, int i, const Column& c, const Rect& r, bool chosen) {
        if (c.id == "number") {
            number_tag(u, TagShape::piece, "L-" + std::to_string(141 + i), r.x0, r.mid_y());
        } else if (c.id == "tone") {
            StripView strip;
            strip.scale = &silver;
            strip.pin = TonePlace{2 + i % 5, 0.4F};
            const float h = strip_height(u, StripSize::row);
            tone_strip(u,
                       {r.x0, r.mid_y() - h * 0.5F + u.em(0.25F), r.x0 + u.em(7), r.mid_y() + h * 0.5F + u.em(0.25F)},
                       strip, StripSize::row);
            u.paint().text_in(chosen ? Type::strong : Type::body, u.colour(Role::ink),
                              {r.x0 + u.em(7.75F), r.y0, r.x1, r.y1},
                              silver.tones[static_cast<std::size_t>(2 + i % 5)].word);
        } else {
            u.paint().text_in(Type::body, u.colour(Role::text), r, c.id == "rack" ? "3, 40 s" : "wax");
        }
    };
    if (!state.table.chosen.starts_with("L-")) {
        state.table.chosen = "L-144";
    }
    const TableResult used = table(ui, box(ui, 32, 140, 552, 602), list, state.table);
    if (!used.opened.empty()) {
        state.pressed = "opened " + used.opened;
    }
    number_tag(ui, TagShape::piece, "L-058", at(ui, 616), at(ui, 112), {.height_em = 2.5F});
    words(ui, Type::leads, Role::ink, 752, 107, "Limpet, sterling lid on copper cup");
    words(ui, Type::label, Role::text, 752, 130, "point-back 14 mm, 3 coats of LQ-2. Sold 28 Feb. Batch 22, rack 3.");
    StoryView story;
    story.beads = {
        {"a", "12 Jan 11:05", "Degreased, water sheeted", {}, false, false, {}},
        {"b", "12 Jan 11:31", "Dipped 40 s at 40.0 °C, Bath 28, LS-2", "equal to 10 s at 60 °C, fresh", true, true, {}},
        {"c", "12 Jan 11:32", "Rinsed 30 s. Judged gold, aim was blue", {}, false, false, {}},
        {"d", "28 Feb", "Sold, unsealed", {}, false, false, {}},
        {"e", "30 Mar", "30-day look: due", {}, false, false, Mark::look}};
    story_wire(ui, box(ui, 616, 146, 632, 244), story);
    StripView strip;
    strip.scale = &silver;
    strip.pin = TonePlace{silver.index_of("gold"), 0.1F};
    strip.pin_words = "L-058";
    strip.aim = ToneSpan{{silver.index_of("blue"), 0}, {silver.index_of("blue"), 1}};
    strip.aim_word = "aim";
    strip.label = "tone of L-058";
    for (int i = 0; i < 3; ++i) {
        strip.mates.push_back({silver.index_of("amber"), 0.7F + 0.11F * static_cast<float>(i)});
        strip.mates.push_back({silver.index_of("blue"), 0.15F + 0.12F * static_cast<float>(i)});
    }
    tone_strip(ui, box(ui, 616, 444, 632, 44), strip, StripSize::plan);
    begin_card(ui, box(ui, 616, 532, 632, 210));
    words(ui, Type::leads, Role::ink, 636, 562, "Why is it lighter than its batch?");
    divider(ui, at(ui, 636), at(ui, 1228), at(ui, 606));
    words(ui, Type::strong, Role::ink, 636, 629, "Bath cooler: 40.0 °C, rack 1 had 55.0 °C");
    share_bar(ui, box(ui, 1088, 620, 44, 8), 0.96F, ui.colour(Role::copper));
    words(ui, Type::label, Role::ink, 1228, 629, "nearly all", Align::right);
    end_card(ui);
    foot(ui, {hint("find key", Key::f, "find"), {"open", "Enter", "open", {}}, hint("why", Key::w, "why different")},
         "Written 11:31:37");
}

}  // namespace tonebath::testing
