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
