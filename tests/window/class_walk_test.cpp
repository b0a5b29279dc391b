// The Class sheet walked by keys: an empty log, the invented studio, a class typed by hand from its first briefing to its end; and
// its seats at the bench.
#include "window/walk.hpp"

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

namespace {

// A bath that is made up for a class of three, and three pieces.
void set_up_class(Walk& walk) {
    walk.has("person.add", {{"initials", "MK"}});
    walk.has("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}, {"usual", "5"}, {"opened", "today"}});
    walk.has("bath.make-up", {{"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "19"}});
    walk.has("class.add", {{"title", "Groyne"}, {"limit", "3"}, {"supervisor", "MK"}, {"bath", "1"}, {"aim", "sterling: blue"}});
    walk.has("piece.add", {{"number", "P-1..P-2"}, {"design", "Groyne"}, {"metal", "sterling"}});
}

}  // namespace

TEST_CASE("without a class the sheet says what one needs, and opens its form") {
    Walk walk(false);
    walk.press(Key::c, kAlt);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("No class is written down."));
    check_findings(walk, "no class");
    walk.press(Key::space);
    CHECK(walk.driver().shows("Write down a class"));
    walk.press(Key::esc);
    walk.press(Key::esc);
    CHECK_FALSE(walk.driver().shows("No class is written down."));
}

TEST_CASE("today's class of the invented studio: seats, refusal, plan, limit, what is owed") {
    Walk walk(true);
    CHECK(walk.driver().shows("13:00 Class"));
    CHECK(walk.driver().shows("waiting: 6 of 9 briefed"));
    walk.press(Key::c);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Class at 13:00"));
    CHECK(walk.driver().shows("supervisor MK, cleared to supervise"));
    CHECK(walk.driver().shows("10 of 10, the limit of this class"));
    CHECK(walk.driver().shows("Start refused, one reason"));
    CHECK(walk.driver().shows("Seats 5, 6, 8 have not confirmed the briefing"));
    CHECK(walk.driver().shows("no lane, goggles on"));
    CHECK(walk.driver().shows("10 seats, set by MK 2 Oct 2025"));
    CHECK(walk.driver().shows("not given out yet"));
    CHECK(walk.driver().shows("No health facts are asked or kept."));
    CHECK(walk.driver().has("lane 1"));
    CHECK_FALSE(walk.driver().has("lane 9"));  // it watches
    check_findings(walk, "class of the demo");
    // The chosen seat is the first that holds the class back; arrows choose another.
    CHECK(walk.driver().widget("seat 5").value == "chosen");
    walk.press(Key::down);
    CHECK(walk.driver().widget("seat 6").value == "chosen");
    walk.press(Key::esc);
    CHECK_FALSE(walk.driver().shows("Start refused"));
}

TEST_CASE("a class from its first briefing to its end, by keys, and its seats at the bench") {
    Walk walk(false);
    set_up_class(walk);
    walk.press(Key::c);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Start refused, two reasons"));
    CHECK(walk.driver().shows("The check before bath 1 is open"));
    walk.press(Key::b);
    CHECK(walk.driver().shows("Seats 2, 3 have not confirmed the briefing"));
    CHECK(walk.driver().widget("seat 2").value == "chosen");
    walk.press(Key::w);  // seat 2 watches
    CHECK(walk.driver().shows("Seat 3 has not confirmed the briefing"));
    walk.press(Key::b);
    CHECK(walk.driver().shows("Start refused, one reason"));
    check_findings(walk, "briefed");
    // Its key leads to the page where the check is.
    walk.press(Key::d8);
    CHECK(walk.window().shown() == PageName::safety);
    CHECK_FALSE(walk.driver().shows("Start refused"));
    walk.has("check.confirm", {{"bath", "1"}, {"item", "acid_away: no pickle\nair: fan on\nroom: three and MK\nknows: AP, calls out\ngo: 09:42"}});
    walk.press(Key::c, kAlt);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Nothing of the class holds it back"));
    walk.press(Key::space);
    CHECK(walk.driver().shows("under way since"));
    walk.press(Key::h);
    CHECK(walk.driver().shows("given out"));
    check_findings(walk, "under way");
    walk.has("bench.lay-out", {{"bath", "1"}, {"piece", "P-1\nP-2"}, {"aim", "blue"}});
    walk.press(Key::space);
    CHECK(walk.window().shown() == PageName::bench);
    // The first piece is seat 1, the second is seat 3: seat 2 watches.
    CHECK(walk.driver().shows("Drop seat 1 in"));
    walk.press(Key::space);
    REQUIRE(walk.window().dip_running());
    walk.press(Key::d3);
    CHECK(walk.driver().shows("seat 3"));
    check_findings(walk, "lanes of seats");
    walk.press(Key::d1);
    walk.press(Key::space);
    CHECK_FALSE(walk.window().dip_running());
    walk.press(Key::c, kAlt);
    walk.press(Key::e);
    CHECK(walk.driver().shows("ended"));
    check_findings(walk, "ended");
}

TEST_CASE("a minor's seat waits for the consent that the venue asks for, by keys") {
    Walk walk(false);
    set_up_class(walk);
    walk.has("class.ask-consent", {});
    walk.has("class.brief", {{"seat", "1..3"}});
    walk.press(Key::c);
    INFO(walk.driver().probe().screen_text());
    walk.press(Key::down);
    walk.press(Key::m);
    CHECK(walk.driver().shows("Seat 2 is a minor, and no consent was seen"));
    check_findings(walk, "consent missing");
    walk.press(Key::o);
    CHECK_FALSE(walk.driver().shows("no consent was seen"));
    CHECK(walk.driver().shows("minor: consent seen"));
    walk.press(Key::m);
    CHECK_FALSE(walk.driver().shows("minor: consent seen"));
}

TEST_CASE("the sheet at other sizes and in the light theme") {
    for (const Screen& screen : {Screen{.width = 1024, .height = 700}, Screen{.width = 2560, .height = 1600, .scale = 2, .theme = "chalk"}, Screen{.width = 1920, .height = 1080}}) {
        Walk walk(true, screen);
        walk.press(Key::c);
        INFO(screen.width << "\n" << walk.driver().probe().screen_text());
        CHECK(walk.driver().shows("Start refused, one reason"));
        check_findings(walk, "class at another size");
        walk.press(Key::right);
        CHECK(walk.driver().shows("Bath plan"));
        check_findings(walk, "its plan");
    }
}
