// The pages walked by keys, without a display: an empty log, the demo studio, and a first dip typed by hand.
#include "window/walk.hpp"

#include <array>

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

namespace {

constexpr std::array<Key, 5> kPages{Key::d1, Key::d2, Key::d3, Key::d4, Key::d5};

}  // namespace

TEST_CASE("every page of an empty log says what to do first") {
    Walk walk(false);
    const std::array<std::string_view, 5> words{"Nothing is known about your jar yet.", "No bath is in use.", "No jar and no bath yet.", "No record of this metal yet",
                                                "No pieces yet."};
    for (std::size_t i = 0; i < kPages.size(); ++i) {
        walk.press(kPages[i]);
        INFO(walk.driver().probe().screen_text());
        CHECK(walk.driver().shows(words[i]));
        check_findings(walk, std::string(words[i]));
    }
}

TEST_CASE("every page of the demo studio, by keys") {
    Walk walk(true);
    const std::array<std::string_view, 5> words{"Batch 31", "Nothing is laid out for bath 46.", "LS-2 dry lump", "Why the aim range", "212 pieces"};
    for (std::size_t i = 0; i < kPages.size(); ++i) {
        walk.press(kPages[i]);
        INFO(walk.driver().probe().screen_text());
        CHECK(walk.driver().shows(words[i]));
        CHECK(walk.driver().shows("invented studio"));
        check_findings(walk, std::string(words[i]));
    }
}

TEST_CASE("a letter that the list of actions shows opens that action on its page") {
    Walk walk(false);
    REQUIRE(walk.does("lot.add", {{"number", "LS-1"}}));
    walk.press(Key::d5);
    walk.press(Key::b);
    CHECK(walk.driver().shows("Make a batch"));
    check_findings(walk, "batch form");
    walk.press(Key::esc);
    CHECK_FALSE(walk.driver().shows("Make a batch"));
    // The same letter says nothing where it does nothing.
    walk.press(Key::d3);
    walk.press(Key::b);
    CHECK_FALSE(walk.driver().shows("Make a batch"));
}

TEST_CASE("a first dip by the one key, and the dip outlives the window") {
    Walk walk(false);
    REQUIRE(walk.does("person.add", {{"initials", "MK"}}));
    REQUIRE(walk.does("person.at-bench", {{"who", "MK"}}));
    REQUIRE(walk.does("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}, {"opened", "today"}}));
    REQUIRE(walk.does("bath.make-up", {{"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "19"}}));
    REQUIRE(walk.does("strip.lay-out", {{"bath", "1"}, {"metal", "sterling"}, {"aim", "blue"}}));
    walk.press(Key::d2);
    INFO(walk.driver().probe().screen_text());
    SECTION("the check's stops stand before the first drop") {
        CHECK(walk.driver().shows("Before each bath session"));
        walk.press(Key::space);
        CHECK_FALSE(walk.window().dip_running());
        answer_on_screen(walk);
        CHECK(walk.driver().shows("Drop strip 1 in"));
        walk.press(Key::space);
        REQUIRE(walk.window().dip_running());
        check_findings(walk, "dip");

        walk.clock().advance(5.0);
        walk.open();  // the window is gone and comes back
        CHECK(walk.window().dip_running());
        walk.press(Key::d2, kAlt);
        INFO(walk.driver().probe().screen_text());
        CHECK(walk.driver().shows("Lift out strip 1, into the rinse"));
        walk.press(Key::space);
        CHECK_FALSE(walk.window().dip_running());
        CHECK(walk.driver().shows("Rinse for"));
        walk.press(Key::space);
        CHECK(walk.driver().shows("touch the strip where it is"));
        // Two touches: where it is, and that it was pulled as that tone came.
        walk.clock().advance(0.5);
        walk.driver().click("Where is strip 1? Touch the strip");
        walk.settle();
        CHECK(walk.driver().shows("Touch again"));
        check_findings(walk, "judging");
        walk.press(Key::p);
        CHECK_FALSE(walk.driver().shows("Touch again"));
        CHECK(walk.driver().shows("strip 1: magenta, whole."));
    }
}

TEST_CASE("what was skipped is filled in from Today, one after another") {
    Walk walk(false);
    walk.has("person.add", {{"initials", "MK"}});
    walk.has("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}});
    walk.has("bath.make-up", {{"lot", "LS-1"}, {"start-temp", "60"}});
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("2 blanks"));
    walk.press(Key::slash);
    walk.driver().type("fill in");
    walk.press(Key::enter);
    CHECK(walk.driver().shows("how much of the lot"));
    CHECK(walk.driver().shows("how much water"));
    check_findings(walk, "the list of blanks");
    walk.driver().type("water");
    walk.press(Key::enter);
    CHECK(walk.driver().widget("form record.correct/number").value == "1");
    CHECK(walk.driver().widget("form record.correct/field").value == "water");
    for (int i = 0; i < 10 && !walk.driver().focused().ends_with("/value"); ++i) {
        walk.press(Key::tab);
    }
    walk.driver().type("400 ml");
    walk.press(Key::enter);  // the last field
    // Back on the list, a line shorter.
    CHECK(walk.driver().shows("how much of the lot"));
    CHECK_FALSE(walk.driver().shows("how much water"));
    walk.press(Key::esc);
    CHECK(walk.driver().shows("1 blank at the bench"));
    CHECK_FALSE(walk.driver().has("fill in/text"));
}

TEST_CASE("an order wanted again, from its piece and by name") {
    Walk walk(true);
    walk.press(Key::slash);
    walk.driver().type("repeat an order");
    walk.press(Key::enter);
    CHECK(walk.driver().shows("Which order?"));
    check_findings(walk, "orders");
    walk.driver().type("R-12");
    walk.press(Key::enter);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("R-12 again"));
    CHECK(walk.driver().shows("As order R-07."));
    CHECK(walk.driver().shows("No longer the same"));
    check_findings(walk, "R-12 again");
    walk.press(Key::esc);
    walk.press(Key::d5);
    walk.press(Key::r);
    CHECK(walk.driver().shows("As "));
    CHECK(walk.driver().shows("then:"));
    walk.press(Key::esc);
    CHECK(walk.driver().shows("212 pieces"));
}

TEST_CASE("the first page fits a low window: its buttons stand above the foot") {
    Walk walk(false, {.width = 1024, .height = 700});
    const float foot = walk.driver().widget("foot/find").rect.y0;
    for (const char* button : {"today/lot.add", "today/demo", "today/emergency-numbers"}) {
        INFO(button);
        CHECK(walk.driver().widget(button).rect.y1 < foot);
    }
    check_findings(walk, "first page, low");
}

TEST_CASE("at first start the studio's own emergency numbers are asked for, once they are given no more") {
    Walk walk(false);
    walk.start();
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Emergency number"));
    CHECK(walk.driver().shows("Poison line"));
    check_findings(walk, "numbers asked");
    walk.press(Key::esc);  // later
    CHECK_FALSE(walk.driver().shows("Poison line"));
    walk.start();
    CHECK(walk.driver().shows("Poison line"));
    walk.driver().type("112");
    walk.press(Key::enter, kCtrl);
    CHECK_FALSE(walk.driver().shows("Poison line"));
    walk.press(Key::f12);
    CHECK(walk.driver().shows("112"));
    walk.press(Key::esc);
    walk.start();
    CHECK_FALSE(walk.driver().shows("Poison line"));
}

TEST_CASE("plans beyond one dip stand below the strip, and what a piece allows beside its story") {
    Walk walk(true);
    walk.press(Key::d4);
    walk.driver().click("show/batch");
    walk.settle();
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("A batch from now"));
    CHECK(walk.driver().shows("In the bath"));
    check_findings(walk, "batch");
    walk.driver().click("show/next");
    walk.settle();
    CHECK(walk.driver().shows("Heat and make-up of the next bath"));
    CHECK(walk.driver().shows("Lands on it"));
    check_findings(walk, "next bath");
    walk.press(Key::d5);
    walk.driver().click("show/rescue");
    walk.settle();
    CHECK(walk.driver().shows("What can still be done"));
    CHECK(walk.driver().shows("leave it darker"));
    check_findings(walk, "rescue");
    walk.driver().click("show/matched");
    walk.settle();
    CHECK(walk.driver().shows("What would have matched"));
    check_findings(walk, "matched");
}
