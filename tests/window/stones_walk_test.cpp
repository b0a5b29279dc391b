// The page Stones walked by keys: what is told of each, what is due, and what a finish may do, on the invented studio, an empty
// log and one typed by hand.
#include "store/record.hpp"
#include "window/walk.hpp"

#include <chrono>
#include <thread>

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

TEST_CASE("stones of the demo: groups, times, looks, the gate, where harmed") {
    Walk walk(true);
    walk.press(Key::d6);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Foil backs, by coats and bottle"));
    CHECK(walk.driver().shows("9 of 24"));
    CHECK(walk.driver().shows("this log cannot part them"));
    check_findings(walk, "groups");

    walk.press(Key::a);
    CHECK(walk.driver().shows("To ask back"));
    CHECK(walk.driver().shows("24 stones"));
    CHECK(walk.driver().shows("Fisher's exact test, two-sided"));
    CHECK(walk.driver().shows("unharmed of 100"));
    check_findings(walk, "ask back");
    walk.press(Key::a);
    CHECK_FALSE(walk.driver().shows("To ask back"));

    walk.press(Key::t);
    CHECK(walk.driver().shows("What that leaves open"));
    CHECK(walk.driver().shows("Bars are two-sided"));
    check_findings(walk, "by time");

    walk.press(Key::d);
    CHECK(walk.driver().shows("what is it like now?"));
    const auto due = [&walk] { return walk.driver().probe().screen_text().find("90 days") != std::string::npos; };
    REQUIRE(due());
    check_findings(walk, "due");
    // One touch each, and the line is gone; where harm was found, one more says where, or is left.
    walk.press(Key::w);
    CHECK(walk.driver().shows("worn: where? Only if you see it."));
    check_findings(walk, "where it is worn");
    walk.press(Key::e);
    CHECK_FALSE(walk.driver().shows("where? Only if you see it."));
    const std::vector<FollowUp> looks = store::list<FollowUp>(walk.window().studio().log(), "WHERE stone_id = (SELECT id FROM stone WHERE number = 'F-097') ORDER BY at_utc_ms DESC LIMIT 1");
    REQUIRE(looks.size() == 1);
    CHECK(looks[0].seen == SeenAs::worn);
    CHECK(looks[0].zone == Zone::edge);
    walk.press(Key::n);
    CHECK_FALSE(walk.driver().shows("where? Only if you see it."));
    CHECK(walk.driver().shows("No look is due."));
    CHECK_FALSE(due());
    check_findings(walk, "none due");

    walk.press(Key::b);
    CHECK(walk.driver().shows("Your own log"));
    CHECK(walk.driver().shows("Try one stone first."));
    CHECK(walk.driver().shows("no tumbling"));  // foil crystal, by its own back
    check_findings(walk, "gate");

    walk.driver().click("part/where");
    walk.settle();
    CHECK(walk.driver().shows("Where stones were harmed"));
    check_findings(walk, "where");
}

TEST_CASE("the register: found by typing, one stone's story, and what to ask back of those found") {
    Walk walk(true);
    CHECK(walk.window().open_page("stones/register"));
    walk.settle();
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("186 stones"));
    CHECK(walk.driver().shows("liver of sulfur"));
    check_findings(walk, "register");
    walk.driver().click("find");
    walk.driver().type("LQ-3 harmed");
    walk.settle();
    CHECK(walk.driver().shows("9 stones"));
    walk.driver().click("trace");
    walk.settle();
    CHECK(walk.driver().shows("To ask back"));
    CHECK(walk.driver().shows("9 pieces"));
    check_findings(walk, "register, ask back");
    CHECK(walk.window().open_page("stones/register/F-097"));
    walk.settle();
    CHECK(walk.driver().shows("F-097"));
    CHECK(walk.driver().shows("186 stones"));
}

TEST_CASE("not worked out at once: the page says so, and is there a moment later") {
    Walk walk(true, {}, false);
    CHECK(walk.window().open_page("stones"));
    for (int i = 0; i < 400 && !walk.driver().shows("Foil backs, by coats and bottle"); ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
        walk.settle();
    }
    CHECK(walk.driver().shows("9 of 24"));
    CHECK(walk.window().open_page("coats/bottles"));
    for (int i = 0; i < 400 && !walk.driver().shows("Brushes or dries slower than your other bottles"); ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
        walk.settle();
    }
    CHECK(walk.driver().shows("Brushes or dries slower than your other bottles"));
}

TEST_CASE("an empty log says how stones begin, and still tells what is published") {
    Walk walk(false);
    walk.press(Key::d6);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("No stones yet."));
    check_findings(walk, "no stones");
    walk.press(Key::b);
    CHECK(walk.driver().shows("Untested here: none of yours met it."));
    CHECK(walk.driver().shows("Published"));
    check_findings(walk, "gate, empty log");
}

TEST_CASE("a stone typed by hand is told once, untested until it is looked at") {
    Walk walk(false);
    walk.has("piece.add", {{"number", "A-1"}, {"metal", "sterling"}});
    walk.has("stone.add", {{"number", "S-1"}, {"piece", "A-1"}, {"kind", "pearl"}});
    walk.press(Key::d6);
    walk.press(Key::t);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("pearl"));
    CHECK(walk.driver().shows("untested"));
    check_findings(walk, "one stone");
}
