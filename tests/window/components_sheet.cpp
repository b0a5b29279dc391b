#include "window/sheets.hpp"

#include "window/widgets/bars.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/timer.hpp"

#include <cmath>

namespace tonebath::testing {

using namespace tonebath::window;

SheetState::SheetState() {
    weighed.set("2.0");
    water.set("400");
    time.set("40");
    asked.set("20");
    reading.set("140");
    find.set("limpet 12 jan");
}

float at(const Ui& ui, float px_at_scale_1) {
    return ui.em(px_at_scale_1 / ui.look().base_px);
}

Rect box(const Ui& ui, float x, float y, float w, float h) {
    return {at(ui, x), at(ui, y), at(ui, x + w), at(ui, y + h)};
}

namespace {

void label(Ui& ui, float x, float y, std::string_view words, Role role = Role::quiet) {
    ui.paint().text(Type::label, ui.colour(role), {at(ui, x), at(ui, y)}, words);
}

void strips(Ui& ui) {
    const DrawnScale& silver = ui.look().silver;
    const int amber = silver.index_of("amber");
    const int purple = silver.index_of("purple");
    const int blue = silver.index_of("blue");
    const int magenta = silver.index_of("magenta");
    const int gunmetal = silver.index_of("gunmetal");
    label(ui, 32, 40, "1  a tone, in a row");
    StripView row;
    row.scale = &silver;
    row.pin = TonePlace{amber, 0.4F};
    row.words = false;
    row.label = "strip in a row";
    tone_strip(ui, box(ui, 232, 26, 150, 14), row, StripSize::row);
    ui.paint().text(Type::body, ui.colour(Role::ink), {at(ui, 396), at(ui, 40)}, "amber");
    StripView done = row;
    done.label = "strip of a dip done";
    label(ui, 32, 88, "2  a dip done");
    tone_strip(ui, box(ui, 232, 72, 384, 26), done, StripSize::small);
    StripView aim = row;
    aim.pin.reset();
    aim.aim = ToneSpan{{blue, 0}, {blue, 1}};
    aim.label = "strip with an aim";
    label(ui, 32, 146, "3  an aim");
    tone_strip(ui, box(ui, 232, 130, 384, 26), aim, StripSize::small);
    StripView plan = aim;
    plan.may_land = ToneSpan{{purple, 0.2F}, {gunmetal, 0.9F}};
    plan.label = "strip of a plan";
    label(ui, 32, 204, "4  a plan, unsure");
    tone_strip(ui, box(ui, 232, 188, 384, 26), plan, StripSize::small);
    StripView dip = aim;
    dip.pin = TonePlace{magenta, 0.2F};
    dip.pin_is_film = true;
    dip.label = "strip of a dip under way";
    label(ui, 32, 262, "5  a dip under way");
    tone_strip(ui, box(ui, 232, 246, 384, 26), dip, StripSize::small);
}

void buttons(Ui& ui, SheetState& state) {
    label(ui, 32, 322, "buttons");
    if (button_do(ui, "start", box(ui, 32, 334, 136, 44), "Start", Key::space)) {
        state.pressed = "start";
    }
    if (button_plain(ui, "strip", box(ui, 180, 334, 136, 44), "Dip a strip", Key::s)) {
        state.pressed = "strip";
    }
    if (button_quiet(ui, "later", box(ui, 328, 334, 110, 44), "Later", Key::none)) {
        state.pressed = "later";
    }
    // Held down, as it looks while it is pressed.
    const Rect held = box(ui, 450, 334, 166, 44);
    ui.paint().fill(held, ui.colour(Role::held), ui.em(0.375F));
    ui.paint().push_surface(ui.colour(Role::held));
    ui.paint().text_in(Type::strong, ui.colour(Role::on_copper), held, "held down", Align::centre);
    ui.paint().pop_surface();
    if (button_plain(ui, "keys", box(ui, 32, 392, 136, 44), "has the keys")) {
        state.pressed = "keys";
    }
    ButtonStyle refused;
    refused.refused = "refused: air check open, press 8";
    if (button_quiet(ui, "refused", box(ui, 180, 392, 136, 44), "Start", Key::none, refused)) {
        state.pressed = "refused";
    }
}

void fields(Ui& ui, SheetState& state) {
    label(ui, 32, 484, "fields");
    const auto place = [&](float x, float y, float w) { return box(ui, x, y, w, 48); };
    FieldView weighed;
    weighed.label = "Weighed";
    weighed.unit = "g";
    field(ui, "weighed", place(32, 514, 132), weighed, state.weighed);
    FieldView water;
    water.label = "Water";
    water.unit = "ml";
    field(ui, "water", place(180, 514, 132), water, state.water);
    FieldView rinse;
    rinse.label = "Rinse";
    field(ui, "rinse", place(328, 514, 132), rinse, state.rinse);
    FieldView time;
    time.label = "Time";
    time.unit = "s";
    time.from_memory = true;
    field(ui, "time", place(476, 514, 140), time, state.time);
    FieldView asked;
    asked.label = "Weighed again";
    asked.name_shown = false;
    asked.unit = "g";
    asked.question.guess = "Ten times the usual. Did you mean 2.0 g?";
    asked.question.asks = "F takes 2.0 g, K keeps 20 g with a mark. Enter waits.";
    const Rect beside = box(ui, 182, 582, 430, 48);
    field(ui, "asked", place(32, 576, 132), asked, state.asked, &beside);
}

void tags(Ui& ui) {
    label(ui, 32, 670, "number tags");
    struct Shown {
        TagShape shape;
        std::string_view number;
        std::string_view name;
        float x;
    };
    for (const Shown& tag :
         {Shown{TagShape::piece, "L-058", "piece", 32}, Shown{TagShape::bath, "Bath 46", "bath", 135.6F},
          Shown{TagShape::lot, "LS-2", "jar", 244.2F}, Shown{TagShape::bottle, "LQ-3", "bottle", 329},
          Shown{TagShape::batch, "Batch 31", "batch", 410}, Shown{TagShape::seat, "7", "seat", 520}}) {
        const Rect r = number_tag(ui, tag.shape, tag.number, at(ui, tag.x), at(ui, 698),
                                  {.height_em = tag.shape == TagShape::seat ? 2.125F : 2});
        ui.paint().text(Type::small, ui.colour(Role::quiet), {r.mid_x(), at(ui, 732)}, tag.name, Align::centre);
    }
    label(ui, 32, 768, "Shape says what it numbers; colour never does.", Role::text);
}

void marks(Ui& ui) {
    label(ui, 664, 40, "marks: a triangle is danger or a refused start, nothing else");
    const Mark shown[] = {Mark::done,    Mark::look, Mark::wait, Mark::now,  Mark::owed,
                          Mark::unknown, Mark::ask,  Mark::stop, Mark::warn, Mark::over};
    const float xs[] = {674, 792, 910, 1028, 1146};
    for (int i = 0; i < 10; ++i) {
        const Vec2 centre{at(ui, xs[i % 5]), at(ui, i < 5 ? 65 : 99)};
        draw_mark(ui, shown[i], centre, ui.em(0.625F));
        ui.paint().text(Type::label, ui.colour(Role::text), {centre.x + at(ui, 18), centre.y + at(ui, 5)},
                        mark_word(shown[i]));
    }
}

void checklist(Ui& ui) {
    label(ui, 664, 150, "checklist, by level");
    const auto line = [&](float y, Mark mark, std::string_view word, Role word_role, std::string_view text,
                          Role text_role, Mark state) {
        draw_mark(ui, mark, {at(ui, 678), at(ui, y)}, ui.em(0.75F));
        ui.paint().text(Type::strong, ui.colour(word_role), {at(ui, 704), at(ui, y + 6)}, word);
        ui.paint().text(Type::body, ui.colour(text_role), {at(ui, 774), at(ui, y + 6)}, text);
        draw_mark(ui, state, {at(ui, 1234), at(ui, y)}, ui.em(0.5625F));
    };
    line(178, Mark::stop_answered, "stop", Role::stop, "nothing starts until it is answered", Role::text, Mark::done);
    line(216, Mark::must, "must", Role::ink, "passed over by Maker: no second person on Tuesdays", Role::text,
         Mark::over);
    line(254, Mark::advise, "advise", Role::ink, "not answered", Role::quiet, Mark::open);
}

void counts(Ui& ui) {
    label(ui, 664, 312, "how many, and how sure");
    IntervalView worn;
    worn.before = "2 of 52 worn";
    worn.after = "1 to 13 in 100";
    worn.low = 0.01;
    worn.high = 0.13;
    worn.share = 0.04;
    worn.seen = 52;
    interval_row(ui, box(ui, 664, 319, 584, 32), at(ui, 854), at(ui, 1094), worn);
    IntervalView harmed;
    harmed.before = "0 of 2 harmed";
    harmed.low = 0;
    harmed.high = 0.66;
    harmed.share = 0;
    harmed.seen = 2;
    interval_row(ui, box(ui, 664, 351, 584, 32), at(ui, 854), at(ui, 1094), harmed);
}

void below(Ui& ui, SheetState& state) {
    label(ui, 664, 424, "notice");
    NoticeView weak;
    weak.id = "weak";
    weak.what = "All three jars look weaker since 3 Feb.";
    weak.why = "One day, three jars: check the thermometer in ice first.";
    weak.button = "Check";
    weak.key = Key::c;
    if (notice(ui, box(ui, 664, 434, 584, 58), weak)) {
        state.pressed = "weak";
    }
    label(ui, 664, 522, "timer");
    timer_digits(ui, Type::next, ui.colour(Role::ink), {at(ui, 668), at(ui, 608)}, "24");
    label(ui, 878, 522, "plot");
    PlotView fade;
    fade.id = "fade";
    fade.label = "temperature of the bath";
    fade.x = {.low = 0, .high = 10, .most_ticks = 1, .labels = false, .grid = false};
    fade.y = {.low = 0, .high = 10, .most_ticks = 1, .labels = false, .grid = false};
    fade.on = Role::ground;
    PlotLine line{"measured", {}, false, false, false, {}, std::nullopt};
    PlotLine expected{"left alone", {}, true, false, false, {}, std::nullopt};
    PlotBand band{"range", {}, {}};
    for (int i = 0; i <= 20; ++i) {
        const double x = 0.5 * i;
        const double y = 1.3 + 8.0 * std::exp(-x / 3.6);
        if (x <= 5) {
            line.points.push_back({x, y});
        }
        if (x >= 5) {
            expected.points.push_back({x, y});
        }
        band.low.push_back({x, y - 1.0});
        band.high.push_back({x, y + 1.6 * (1 - x / 30)});
    }
    fade.marks = {{"readings", {line.points[0], line.points[4], line.points[8]}, false, {}}};
    fade.lines = {line, expected};
    fade.bands = {band};
    fade.now = PlotNow{5, {}, std::nullopt};
    plot(ui, box(ui, 878, 534, 170, 75), fade, state.plot);
    label(ui, 1078, 522, "keys");
    key_hint(ui, "Space", "start, stop", at(ui, 1078), at(ui, 552));
    key_hint(ui, "/", "find an action", at(ui, 1078), at(ui, 588));
    label(ui, 664, 664, "nothing here yet");
    EmptyView empty;
    empty.id = "empty";
    empty.scale = &ui.look().silver;
    empty.fact = "No strips in red brass.";
    empty.todo = "Dip one at 40 s to begin.";
    empty_state(ui, box(ui, 664, 676, 584, 40), empty);
    label(ui, 664, 742, "row");
    divider(ui, at(ui, 716), at(ui, 1248), at(ui, 726));
    divider(ui, at(ui, 716), at(ui, 1248), at(ui, 772));
    number_tag(ui, TagShape::piece, "L-131", at(ui, 720), at(ui, 748));
    ui.paint().text(Type::body, ui.colour(Role::ink), {at(ui, 820), at(ui, 754)}, "Limpet");
    StripView row;
    row.scale = &ui.look().silver;
    row.pin = TonePlace{row.scale->index_of("blue"), 0.3F};
    row.words = false;
    row.label = "L-131";
    tone_strip(ui, box(ui, 904, 747, 112, 11), row, StripSize::row);
    ui.paint().text(Type::body, ui.colour(Role::ink), {at(ui, 1028), at(ui, 754)}, "blue");
    ui.paint().text(Type::body, ui.colour(Role::text), {at(ui, 1094), at(ui, 754)}, "out 09:53");
    draw_mark(ui, Mark::done, {at(ui, 1234), at(ui, 749)}, ui.em(0.5625F));
}

}  // namespace

void components_sheet(Ui& ui, SheetState& state) {
    const auto scope = ui.scope("components");
    for (const float y : {294.0F, 456.0F, 642.0F}) {
        divider(ui, at(ui, 32), at(ui, 616), at(ui, y));
    }
    for (const float y : {122.0F, 284.0F, 396.0F, 636.0F}) {
        divider(ui, at(ui, 664), at(ui, 1248), at(ui, y));
    }
    strips(ui);
    buttons(ui, state);
    fields(ui, state);
    tags(ui);
    marks(ui);
    checklist(ui);
    counts(ui);
    below(ui, state);
}

}  // namespace tonebath::testing
