// Fields and kind questions.
#include "window/widgets/field.hpp"
#include "window/driver.hpp"

#include <catch2/catch.hpp>

namespace tonebath::testing {

using namespace tonebath::window;

namespace {

struct Page {
    FieldState state;
    FieldView view;
    int entered = 0;
    int copper = 0;
    std::vector<std::string> answers;

    void operator()(Ui& ui) {
        const Rect r{ui.em(2), ui.em(4), ui.em(14), ui.em(7)};
        const FieldResult result = field(ui, "temperature", r, view, state);
        entered += result.entered ? 1 : 0;
        if (!result.answer.empty()) {
            answers.push_back(result.answer);
        }
        copper += button_do(ui, "start", {ui.em(40), ui.em(4), ui.em(50), ui.em(7)}, "Start", Key::space) ? 1 : 0;
    }
    void ask() {
        view.question = {"That looks like °F: 140 °F is 60.0 °C.",
                         "Reheated since?",
                         {{"reheated", "60.0 °C, reheated", Key::h},
                          {"not", "60.0 °C, not reheated", Key::n},
                          {"blank", "Blank", Key::esc}}};
    }
};

}  // namespace

SCENARIO("a value is typed and entered", "[field]") {
    Page page;
    page.view.label = "Temperature";
    page.view.unit = "°C";
    Driver driver([&](Ui& ui) { page(ui); });
    CHECK(driver.shows("not known"));
    driver.click("temperature");
    driver.type("51.8");
    CHECK(page.state.text() == "51.8");
    CHECK(page.copper == 0);
    driver.press(Key::enter);
    CHECK(page.entered == 1);
    driver.press(Key::enter);
    CHECK(page.entered == 2);
    CHECK(driver.widget("temperature").value == "51.8 °C");
    SECTION("leaving it after a change enters it too, and the text stays") {
        driver.type("2");
        driver.click_at({900, 600});
        CHECK(page.entered == 3);
        CHECK(page.state.text() == "51.82");
        driver.click_at({900, 500});
        CHECK(page.entered == 3);
    }
    SECTION("Space types, it does not start") {
        driver.press(Key::space);
        CHECK(page.copper == 0);
    }
}

SCENARIO("while a question is open, Enter and Space take nothing", "[field]") {
    Page page;
    page.view.label = "Temperature";
    Driver driver([&](Ui& ui) { page(ui); });
    driver.click("temperature");
    driver.type("140");
    page.ask();
    driver.frames(2);
    CHECK(driver.shows("That looks like °F"));
    driver.press(Key::enter);
    driver.press(Key::enter);
    CHECK(page.entered == 0);
    CHECK(page.answers.empty());
    CHECK(page.state.text() == "140");
    SECTION("its letters answer, and are not typed") {
        driver.type("n");
        CHECK(page.answers == std::vector<std::string>{"not"});
        CHECK(page.state.text() == "140");
    }
    SECTION("its buttons answer") {
        driver.click("60.0 °C, reheated");
        CHECK(page.answers == std::vector<std::string>{"reheated"});
    }
    SECTION("the letters answer also when the field was left") {
        driver.click_at({900, 600});
        driver.press(Key::h);
        CHECK(page.answers == std::vector<std::string>{"reheated"});
    }
    SECTION("other signs go on changing the value") {
        driver.press(Key::backspace);
        driver.type(".5");
        CHECK(page.state.text() == "14.5");
    }
    SECTION("Esc is an answer here") {
        driver.press(Key::esc);
        CHECK(page.answers == std::vector<std::string>{"blank"});
    }
}

TEST_CASE("the caret goes where it is clicked, and a mark is copied", "[field]") {
    Page page;
    page.view.label = "Note";
    page.view.kind = FieldKind::text;
    page.state.set("wwww iiii");
    Driver driver([&](Ui& ui) { page(ui); });
    const Rect r = driver.widget("temperature").rect;
    driver.click_at({r.x0 + 15, r.mid_y()});
    driver.type("A");
    CHECK(page.state.text() == "Awwww iiii");
    driver.press(Key::a, kCtrl);
    driver.press(Key::c, kCtrl);
    CHECK(driver.clipboard() == "Awwww iiii");
    driver.clipboard() = "pasted";
    driver.press(Key::v, kCtrl);
    CHECK(page.state.text() == "pasted");
    driver.press(Key::z, kCtrl);
    CHECK(page.state.text() == "Awwww iiii");
}

TEST_CASE("signs that cannot be drawn are kept as they are", "[field]") {
    Page page;
    page.view.label = "Note";
    page.view.kind = FieldKind::text;
    page.state.set("from 京 😀");
    Driver driver([&](Ui& ui) { page(ui); });
    driver.click("temperature");
    driver.press(Key::home);
    driver.type("x");
    CHECK(page.state.text() == "xfrom 京 😀");
}

TEST_CASE("a value from memory says so, and a long one stays inside its box", "[field]") {
    Page page;
    page.view.label = "Time";
    page.view.unit = "s";
    page.view.from_memory = true;
    page.state.set("a very long note that does not fit into the little box");
    Driver driver([&](Ui& ui) { page(ui); });
    CHECK(driver.shows("Time, from memory"));
    const Rect r = driver.widget("temperature").rect;
    for (const ProbeText& text : driver.probe().texts()) {
        if (text.text.starts_with("a very long")) {
            CHECK(text.rect.x1 <= r.x1);
            CHECK(text.text.ends_with("…"));
        }
    }
}

}  // namespace tonebath::testing
