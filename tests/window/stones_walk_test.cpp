// The page Stones walked by keys: what is told of each, what is due, and what a finish may do, on the invented studio, an empty
// log and one typed by hand.
#include "window/walk.hpp"

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
    // One touch each, and the line is gone.
    walk.press(Key::u);
    walk.press(Key::n);
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
