// Keys, pointer, focus and layers, as a person at the bench meets them.
#include "window/driver.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/rail.hpp"
#include "window/widgets/table.hpp"

#include <catch2/catch.hpp>

namespace tonebath::testing {

using namespace tonebath::window;

namespace {

Rect place(const Ui& ui, float x, float y, float w = 10, float h = 2.75F) {
    return {ui.em(x), ui.em(y), ui.em(x + w), ui.em(y + h)};
}

}  // namespace

SCENARIO("buttons are used by pointer, by their key, and by the ring", "[ui]") {
    std::vector<std::string> used;
    Driver driver([&](Ui& ui) {
        if (button_do(ui, "start", place(ui, 2, 2), "Start", Key::space, {.enter_too = true})) {
            used.emplace_back("start");
        }
        if (button_plain(ui, "strip", place(ui, 14, 2), "Dip a strip", Key::s)) {
            used.emplace_back("strip");
        }
        if (button_quiet(ui, "no", place(ui, 26, 2), "Later", Key::l, {.refused = "air check open, press 8"})) {
            used.emplace_back("no");
        }
        if (button_plain(ui, "below", place(ui, 14, 8), "Below")) {
            used.emplace_back("below");
        }
    });
    SECTION("a click, and a click by the words") {
        driver.click("strip");
        driver.click("Start");
        CHECK(used == std::vector<std::string>{"strip", "start"});
    }
    SECTION("a press that slips off is no click") {
        driver.drag(driver.widget("strip").rect.mid(), driver.widget("start").rect.mid());
        CHECK(used.empty());
    }
    SECTION("keys, each once, and only without other keys held") {
        driver.press(Key::s);
        driver.press(Key::s, kCtrl);
        driver.press(Key::space);
        driver.press(Key::enter);
        CHECK(used == std::vector<std::string>{"strip", "start", "start"});
    }
    SECTION("what cannot be used says why and does nothing") {
        driver.click("no");
        driver.press(Key::l);
        CHECK(used.empty());
        CHECK_FALSE(driver.widget("no").enabled);
        CHECK(driver.widget("no").reason == "air check open, press 8");
        CHECK(driver.shows("air check open, press 8"));
    }
    SECTION("Tab goes round what can be used, back with Shift, and Space presses what shows the ring") {
        driver.press(Key::tab);
        CHECK(driver.focused() == "start");
        driver.press(Key::tab);
        CHECK(driver.focused() == "strip");
        driver.press(Key::space);
        driver.press(Key::enter);
        CHECK(used == std::vector<std::string>{"strip", "strip"});
        driver.press(Key::tab);
        CHECK(driver.focused() == "below");
        driver.press(Key::tab);
        CHECK(driver.focused() == "start");
        driver.press(Key::tab, kShift);
        CHECK(driver.focused() == "below");
        driver.press(Key::up);
        CHECK(driver.focused() == "strip");
        driver.press(Key::left);
        CHECK(driver.focused() == "start");
    }
    SECTION("after a click the page's own key works on") {
        driver.click("strip");
        driver.press(Key::space);
        CHECK(used == std::vector<std::string>{"strip", "start"});
    }
}

SCENARIO("the bench key owns Space and Enter, whatever lies above it", "[ui]") {
    int outs = 0;
    int others = 0;
    bool sheet = false;
    std::optional<double> stamp;
    Driver driver([&](Ui& ui) {
        others += button_plain(ui, "other", place(ui, 2, 12), "Note") ? 1 : 0;
        const BenchPress press =
            bench_key(ui, place(ui, 2, 2, 60, 5), {.label = "Lift out L-131", .then = "then rinse 30 s"});
        outs += press.pressed ? 1 : 0;
        stamp = press.pressed_s ? press.pressed_s : stamp;
        if (sheet) {
            const auto above = ui.layer(true, ui.screen());
            others += button_plain(ui, "above", place(ui, 2, 20), "Above", Key::a) ? 1 : 0;
        }
    });
    driver.press(Key::tab);
    driver.press(Key::space);
    driver.press(Key::enter);
    CHECK(outs == 2);
    CHECK(others == 0);
    CHECK(stamp.has_value());
    CHECK(driver.widget("bench key").bench);
    driver.click("bench key");
    CHECK(outs == 3);
    sheet = true;
    driver.frames(2);
    driver.press(Key::space);
    CHECK(outs == 4);
    driver.press(Key::a);
    CHECK(others == 1);
    driver.click("other");
    CHECK(others == 1);
}

TEST_CASE("a key held down does not lift out twice", "[ui]") {
    int outs = 0;
    Driver driver([&](Ui& ui) { outs += bench_key(ui, place(ui, 2, 2, 60, 5), {.label = "Out"}).pressed ? 1 : 0; });
    Driver* hands = &driver;
    hands->press(Key::space);
    InputFrame held;
    held.add_key(Key::space, {}, true);
    hands->feed(held);
    CHECK(outs == 1);
}

SCENARIO("a dip under way stays at hand on every other page", "[ui]") {
    int outs = 0;
    int others = 0;
    FieldState note;
    StripView strip;
    strip.scale = &Driver::look_book().look.silver;
    strip.pin = TonePlace{4, 0.3F};
    strip.pin_is_film = true;
    strip.label = "L-131 in the bath";
    Driver driver([&](Ui& ui) {
        others += button_do(ui, "start", place(ui, 40, 10), "Start", Key::space) ? 1 : 0;
        field(ui, "note", place(ui, 2, 10, 20, 3), {.label = "Note", .kind = FieldKind::text}, note);
        outs += dip_band(ui, {TagShape::piece, "L-131", strip, "23 s", "lift out L-131"}).pressed ? 1 : 0;
    });
    CHECK(driver.shows("L-131"));
    CHECK(driver.shows("23 s"));
    CHECK(driver.widget("dip/L-131 in the bath").value == "film at magenta");
    // A page that still prints Space on its own button is found.
    CHECK(find_key_clashes(driver.probe()).size() == 1);
    driver.click("dip/bench key");
    CHECK(outs == 1);
    driver.press(Key::space);
    driver.press(Key::enter);
    CHECK(outs == 3);
    CHECK(others == 0);
    driver.click("note");
    driver.type("a b");
    CHECK(note.text() == "a b");
    CHECK(outs == 3);
}

TEST_CASE("a key held down presses a button once and walks on through rows", "[ui]") {
    int used = 0;
    int steps = 0;
    Driver driver([&](Ui& ui) {
        used += button_plain(ui, "strip", place(ui, 2, 2), "Dip a strip", Key::s) ? 1 : 0;
        steps += ui.pressed(Key::down) ? 1 : 0;
    });
    for (const bool repeat : {false, true, true}) {
        InputFrame input;
        input.add_key(Key::s, {}, repeat);
        input.add_key(Key::down, {}, repeat);
        driver.feed(input);
    }
    CHECK(used == 1);
    CHECK(steps == 3);
}

TEST_CASE("press and release within one frame are both seen", "[ui]") {
    int used = 0;
    Driver driver([&](Ui& ui) { used += button_plain(ui, "strip", place(ui, 2, 2), "Dip a strip", Key::s) ? 1 : 0; });
    InputFrame input;
    const Vec2 mid = driver.widget("strip").rect.mid();
    input.add_pointer(mid, true);
    input.add_pointer(mid, false);
    input.add_key(Key::s);
    driver.feed(input);
    CHECK(used == 1);  // clicked and pressed in one frame is one use
    driver.press(Key::s);
    CHECK(used == 2);
}

SCENARIO("a modal layer takes keys and presses from what it covers", "[ui]") {
    bool open = true;
    std::vector<std::string> used;
    Driver driver([&](Ui& ui) {
        if (button_plain(ui, "page", place(ui, 2, 2), "On the page", Key::p)) {
            used.emplace_back("page");
        }
        if (open) {
            const auto above = ui.layer(true, ui.screen());
            if (button_plain(ui, "sheet", place(ui, 2, 2), "On the sheet", Key::p)) {
                used.emplace_back("sheet");
            }
        }
    });
    driver.click_at({40, 50});
    driver.press(Key::p);
    driver.press(Key::tab);
    driver.press(Key::enter);
    CHECK(used == std::vector<std::string>{"sheet", "sheet", "sheet"});
    open = false;
    driver.frames(2);
    driver.press(Key::p);
    driver.click_at({40, 50});
    CHECK(used.size() == 5);
    CHECK(used.back() == "page");
}

SCENARIO("the rail turns pages by click, digit and Alt with a digit", "[ui]") {
    std::optional<int> page;
    bool only_alt = false;
    FieldState note;
    Driver driver([&](Ui& ui) {
        RailView view{{"Today", "Bench", "Baths", "Tones", "Pieces", "Stones", "Coats", "Safety"},
                      0,
                      LoopArc::plan,
                      "fact",
                      {},
                      "09:42",
                      only_alt};
        if (const RailResult result = rail(ui, view); result.page) {
            page = result.page;
        }
        field(ui, "note", place(ui, 2, 10, 20, 3), {.label = "Note", .kind = FieldKind::text}, note);
    });
    driver.press(Key::d3);
    CHECK(page == 2);
    driver.click("Stones");
    CHECK(page == 5);
    page.reset();
    driver.click("note");
    driver.type("8");
    CHECK_FALSE(page);
    CHECK(note.text() == "8");
    driver.press(Key::d8, kAlt);
    CHECK(page == 7);
    driver.click_at({600, 600});
    page.reset();
    only_alt = true;
    driver.press(Key::d3);
    CHECK_FALSE(page);
    driver.press(Key::d3, kAlt);
    CHECK(page == 2);
}

SCENARIO("a list opens above the page and is chosen from by arrows, letter and click", "[ui]") {
    std::string metal = "sterling";
    ChoiceState state;
    bool below = false;
    const std::vector<Option> metals{{"sterling", "Sterling", "", ""},
                                     {"fine", "Fine silver", "", ""},
                                     {"gold", "Gold", "", "no strips"},
                                     {"copper", "Copper", "", ""}};
    Driver driver([&](Ui& ui) {
        choice_list(ui, "metal", place(ui, 2, 4, 16, 3), "Metal", metals, metal, state);
        below = button_plain(ui, "below", place(ui, 2, 10), "Below", Key::b) || below;
    });
    driver.click("metal");
    CHECK(driver.has("metal/copper"));
    driver.press(Key::down);
    driver.press(Key::down);
    driver.press(Key::enter);
    CHECK(metal == "copper");  // gold cannot be chosen and is passed
    CHECK_FALSE(driver.has("metal/copper"));
    driver.click("metal");
    driver.press(Key::f);
    driver.press(Key::enter);
    CHECK(metal == "fine");
    driver.click("metal");
    driver.click("metal/sterling");
    CHECK(metal == "sterling");
    driver.click("metal");
    driver.press(Key::b);
    driver.press(Key::esc);
    CHECK(metal == "sterling");
    CHECK_FALSE(below);
    CHECK_FALSE(driver.has("metal/copper"));
}

SCENARIO("a long table draws only what is seen and is walked by keys", "[ui]") {
    TableState state;
    std::string opened;
    int cells = 0;
    TableView view;
    view.id = "list";
    view.label = "Pieces";
    view.columns = {{"number", "Number", 8, Align::left, false}, {"tone", "Tone", 0, Align::left, false}};
    view.row_count = 100000;
    view.open_words = "open";
    view.row = [](int i) { return TableRow{"r" + std::to_string(i), "L-" + std::to_string(i)}; };
    view.cell = [&](Ui& ui, int i, const Column&, const Rect& r, bool) {
        ++cells;
        ui.paint().text_in(Type::body, ui.colour(Role::text), r, "L-" + std::to_string(i));
    };
    Driver driver([&](Ui& ui) {
        cells = 0;
        const TableResult result = table(ui, place(ui, 2, 2, 40, 30), view, state);
        opened = result.opened.empty() ? opened : result.opened;
    });
    CHECK(cells > 10);
    CHECK(cells < 40);
    driver.press(Key::down);
    CHECK(state.chosen == "r0");
    driver.press(Key::end);
    CHECK(state.chosen == "r99999");
    CHECK(driver.shows("L-99999"));
    driver.press(Key::up);
    CHECK(state.chosen == "r99998");
    driver.press(Key::enter);
    CHECK(opened == "r99998");
    driver.press(Key::home);
    CHECK(driver.shows("L-0"));
    driver.click("list/r3");
    CHECK(state.chosen == "r3");
    CHECK(opened == "r99998");
    driver.click("list/r3");
    CHECK(opened == "r3");
    driver.wheel(driver.widget("list/keys").rect.mid(), -10);
    CHECK_FALSE(driver.has("list/r3"));
}

TEST_CASE("motion moves, and cuts when it is reduced", "[ui]") {
    const bool reduced = GENERATE(false, true);
    float target = 0;
    std::vector<float> seen;
    Driver driver([&](Ui& ui) { seen.push_back(ui.ease("tag", target, 120)); }, {.reduced_motion = reduced});
    target = 1;
    seen.clear();
    driver.frames(12);
    CHECK(seen.back() == 1.0F);
    CHECK((seen[1] > 0 && seen[1] < 1) == !reduced);
    CHECK(driver.ui().wants_next_frame() == false);
}

TEST_CASE("text broken at spaces fits its width and loses no word", "[ui]") {
    Driver driver([](Ui&) {});
    const Painter& paint = driver.ui().paint();
    const std::string text = "Gas comes off while mixing, before the bath is even hot.";
    for (const float width : {60.0F, 150.0F, 300.0F}) {
        std::string joined;
        for (const std::string& line : paint.wrap(Type::label, width, text)) {
            CHECK((paint.text_width(Type::label, line) <= width || line.find(' ') == std::string::npos));
            joined += (joined.empty() ? "" : " ") + line;
        }
        CHECK(joined == text);
        const std::string cut = paint.ellipsis(Type::label, width, text);
        CHECK(paint.text_width(Type::label, cut) <= width);
    }
    CHECK(paint.wrap(Type::label, 500, "a\nb").size() == 2);
}

}  // namespace tonebath::testing
