// The bottles, the book of near misses and the waste walked by keys, on the invented studio and on an empty log.
#include "window/walk.hpp"

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

namespace {

void to_safety(Walk& walk) {
    REQUIRE(walk.window().open_page("safety"));
    walk.settle();
}

void shows_all(const Walk& walk, std::initializer_list<const char*> words) {
    for (const char* one : words) {
        INFO(one << "\n" << walk.driver().probe().screen_text());
        CHECK(walk.driver().shows(one));
    }
}

// What is pressed in gloves is at least 48 px at scale 1.
void glove_sized(Walk& walk, const std::string& path) {
    const ProbeWidget* button = walk.driver().probe().find(path);
    REQUIRE(button != nullptr);
    CHECK(button->rect.h() >= 48.0F);
    CHECK(button->rect.w() >= 48.0F);
}

}  // namespace

TEST_CASE("bottles by one key: out, the stop, away") {
    Walk walk(false);
    walk.has("person.add", {{"initials", "MK"}});
    walk.has("person.at-bench", {{"who", "MK"}});
    to_safety(walk);
    walk.press(Key::b);
    shows_all(walk, {"No product is written down.", "counts as acid"});
    check_findings(walk, "no products");
    walk.press(Key::p);
    CHECK(walk.driver().shows("Name on the bottle"));
    walk.press(Key::esc);

    walk.has("lot.add", {{"number", "LS-2"}, {"amount", "100 g"}, {"usual", "5"}});
    walk.has("bath.make-up", {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}});
    walk.has("chemical.add",
             {{"name", "vinegar"}, {"kind", "acid pickle"}, {"place", "kitchen"}, {"statements", "H319"}});
    shows_all(walk, {"vinegar", "counts as acid: its sheet is not read", "Out now", "bath 1 (liver of sulfur, lump)",
                     "irritates the eyes", "memory"});
    check_findings(walk, "register");
    glove_sized(walk, "out or away");
    walk.press(Key::o);
    shows_all(walk, {"must never meet", "H2S gas", "Smell is no guide", "Put it away", "no bath begins"});
    check_findings(walk, "stop");
    walk.press(Key::o);
    CHECK_FALSE(walk.driver().shows("must never meet"));
    CHECK(walk.driver().shows("Put it out"));

    // Its sheet, with the product filled in.
    walk.press(Key::e);
    CHECK(walk.driver().shows("Statements on its sheet"));
    walk.press(Key::esc);

    walk.press(Key::m);
    shows_all(walk, {"N-1", "stop", "waits for your comment"});
    check_findings(walk, "book");
    glove_sized(walk, "comment");
    walk.has("near-miss.comment", {{"entry", "N-1"}, {"comment", "back to the kitchen"}});
    shows_all(walk, {"back to the kitchen"});
    CHECK_FALSE(walk.driver().shows("waits for your comment"));
}

TEST_CASE("an empty log says how the book and the waste begin") {
    Walk walk(false);
    to_safety(walk);
    walk.press(Key::m);
    shows_all(walk, {"Nothing is in the book.", "Stops enter themselves."});
    check_findings(walk, "no entries");
    walk.press(Key::n);
    CHECK(walk.driver().shows("What happened"));
    walk.press(Key::esc);
    walk.press(Key::w);
    shows_all(walk, {"No bath was made up", "Ask your local office"});
    check_findings(walk, "no waste");
}

TEST_CASE("the invented studio: what stands out, one near miss, litres and grams that do not add up") {
    Walk walk(true);
    to_safety(walk);
    walk.press(Key::b);
    shows_all(walk, {"limescale remover", "not read", "LS-2 dry lump", "bath 46"});
    CHECK_FALSE(walk.driver().shows("must never meet"));
    check_findings(walk, "demo bottles");
    walk.press(Key::m);
    shows_all(walk, {"A cup of vinegar stood on the bench", "14 Dec"});
    check_findings(walk, "demo book");
    walk.press(Key::w);
    shows_all(walk, {"1.20 l", "owed or unlogged", "letter of 4 Nov 2025", "7.0 g unaccounted for",
                     "local authority decides"});
    check_findings(walk, "demo waste");
    walk.press(Key::d);
    CHECK(walk.driver().shows("Log a disposal"));
}

TEST_CASE("a colder room on the air's part: typed, told drop by drop, and asked about in °F") {
    Walk walk(true);
    to_safety(walk);
    walk.press(Key::i);
    shows_all(walk, {"If acid met the bath", "A colder room", "The room now", "In this order", "1. Air first", "2. Heat through a water bath", "a reheat is due"});
    check_findings(walk, "winter");
    walk.driver().click("winter room");
    walk.driver().type("8");
    walk.press(Key::enter);
    shows_all(walk, {"Room at 8.0 °C", "instead of after", "1. Air first"});
    check_findings(walk, "typed");
    walk.driver().click("winter room");
    walk.press(Key::a, {.ctrl = true});
    walk.driver().type("46");
    walk.press(Key::enter);
    shows_all(walk, {"That looks like °F"});
    check_findings(walk, "asked");
    walk.driver().click("answer 7.8 °C");
    walk.settle();
    shows_all(walk, {"Room at 7.8 °C"});
    // Another tone is another time; the key leads back to the gas.
    const std::string before = walk.driver().widget("drops/0").label;
    walk.driver().click("winter tone");
    walk.settle();
    walk.press(Key::down);
    walk.press(Key::enter);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().widget("drops/0").label != before);
    walk.driver().ui().drop_focus();
    walk.press(Key::i);
    CHECK_FALSE(walk.driver().shows("In this order"));
}

TEST_CASE("a colder room needs a bath; a jar's age stands on the page Baths, and leads back") {
    {
        Walk empty(false);
        to_safety(empty);
        empty.press(Key::i);
        shows_all(empty, {"No bath is in use."});
        check_findings(empty, "no bath");
    }
    Walk walk(true);
    REQUIRE(walk.window().open_page("baths"));
    walk.settle();
    CHECK(walk.driver().shows("G: how they age"));
    walk.press(Key::g);
    shows_all(walk, {"How it ages", "LS-1", "opened", "left open", "three times slower than fresh", "between"});
    CHECK_FALSE(walk.driver().shows("Left in this bath"));
    check_findings(walk, "a jar");
    walk.press(Key::g);
    shows_all(walk, {"How it ages", "LS-2"});
    for (int i = 0; i < 2; ++i) {
        walk.press(Key::g);
    }
    walk.press(Key::g);
    shows_all(walk, {"Left in this bath"});
    walk.press(Key::g);
    walk.press(Key::down);  // a row of the baths
    shows_all(walk, {"Left in this bath"});
}

TEST_CASE("the other questions of the air by hand: a sitting, a lacquer evening, a meter, a hood") {
    Walk walk(true);
    REQUIRE(walk.window().open_page("safety/sitting"));
    walk.settle();
    shows_all(walk, {"at the highest, fan off", "ppm over 8 h", "Held against", "far higher"});
    check_findings(walk, "sitting");
    const auto typed = [&](const char* field, const char* text) {
        walk.driver().click(field);
        walk.driver().type(text);
        walk.press(Key::enter);
    };
    typed("hours", "12");
    shows_all(walk, {"at most 8 h"});
    REQUIRE(walk.window().open_page("safety/evening"));
    walk.settle();
    // 3 ml of ethyl acetate: 0.75 l of vapour at 25 °C, at most 16.3 ppm in 46 m³, 0.08 % of 2.0 %.
    shows_all(walk, {"ethyl acetate", "0.1 % of the lower explosive limit", "far higher", "heavier"});
    check_findings(walk, "evening");
    typed("ml", "300 ml");
    shows_all(walk, {"300 ml of ethyl acetate"});
    REQUIRE(walk.window().open_page("safety/measured"));
    walk.settle();
    shows_all(walk, {"Type the ppm that your meter shows."});
    typed("ppm", "12");
    shows_all(walk, {"12.0 ppm by the meter", "12 ppm by your meter, taken as the", "measured", "far higher"});
    check_findings(walk, "measured");
    REQUIRE(walk.window().open_page("safety/hood"));
    walk.settle();
    // The demo's room: 276 m³/h through 0.3 × 0.3 m is 0.85 m/s in the face.
    shows_all(walk, {"In its face", "0.852 m/s", "OSHA", "second-hand", "At the bath"});
    check_findings(walk, "hood");
    typed("opening", "barn door");
    CHECK_FALSE(walk.driver().shows("In its face"));
    check_findings(walk, "hood refused");
}

TEST_CASE("a limit of the studio's own is typed in where the figures are from, and held against at once") {
    Walk walk(true);
    to_safety(walk);
    walk.press(Key::s);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("A limit of your own"));
    check_findings(walk, "sources");
    walk.press(Key::n);
    CHECK(walk.driver().shows("Whose limit"));
    check_findings(walk, "a limit's form");
    walk.press(Key::esc);
    walk.has("limit.add", {{"substance", "hydrogen sulfide"}, {"body", "our inspector"}, {"kind", "15 min"}, {"ppm", "2"}, {"year", "2026"}, {"source", "letter of 4 Feb"}});
    CHECK(walk.driver().shows("our inspector"));
    walk.press(Key::a);
    CHECK(walk.driver().shows("our inspector"));
    check_findings(walk, "held against a limit of its own");
}
