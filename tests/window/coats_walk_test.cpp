// The page Coats walked by keys: planned, begun behind its check, pressed on with tacky hands, cut off and gone on with; bottles
// and seals of the invented studio.
#include "window/walk.hpp"

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

namespace {

void begin(Walk& walk, std::map<std::string, std::string> more = {}) {
    std::map<std::string, std::string> typed{{"stones", "36"}, {"wait", "12 min"}, {"room-temp", "20.5"}, {"humidity", "47"}, {"who", "MK"}};
    for (auto& [key, value] : more) {
        typed[key] = value;
    }
    walk.has("coating.begin", typed);
}

}  // namespace

TEST_CASE("an empty log says how an evening is planned, and reckons as it is typed") {
    Walk walk(false);
    walk.press(Key::d7);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("No coating yet."));
    CHECK(walk.driver().shows("first type how many stones"));
    check_findings(walk, "empty");
    walk.driver().click("stones");
    walk.driver().type("36");
    walk.press(Key::enter);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("45 min of coating"));
    CHECK(walk.driver().shows("36 in 15 min, so the loop is the wait"));
    CHECK(walk.driver().shows("usual: look on your bottle"));
    walk.driver().click("humidity");
    walk.driver().type("0");
    walk.press(Key::enter);
    CHECK(walk.driver().shows("relative humidity lies above 0"));
    check_findings(walk, "refused");
    walk.driver().click("humidity");
    walk.driver().type("\b");
    walk.press(Key::a, {.ctrl = true});
    walk.driver().type("80");
    walk.press(Key::enter);
    walk.driver().click("room");
    walk.driver().type("70");
    walk.press(Key::enter);
    CHECK(walk.driver().shows("That looks like °F"));
    walk.driver().click("answer 21.1 °C");
    walk.settle();
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Neither rule met: 65 % RH, 11.1 °C"));
    CHECK(walk.driver().shows("Damp air may cloud"));
    check_findings(walk, "damp");
}

TEST_CASE("tacky hands: one key a stone, undo, skip, another stone picked; a cut goes on where it was") {
    Walk walk(false);
    walk.has("person.add", {{"initials", "MK"}, {"role", "maker"}});
    begin(walk);
    walk.press(Key::d7);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Stone 1"));
    CHECK(walk.driver().shows("coat 1 of 3"));
    CHECK(walk.driver().shows("Both rules met: 65 % RH, 11.1 °C"));
    CHECK(walk.driver().shows("Coating check done"));
    const auto wet = [&walk] {
        walk.press(Key::space);
        walk.clock().advance(24.5);
    };
    for (int i = 0; i < 21; ++i) {
        wet();
    }
    CHECK(walk.driver().shows("Stone 22"));
    CHECK(walk.driver().shows("row 3, fourth from the left"));
    CHECK(walk.driver().shows("3 of 9 have coat 1"));
    check_findings(walk, "under way");
    walk.press(Key::u);
    CHECK(walk.driver().shows("Stone 21"));
    wet();
    walk.press(Key::x);
    CHECK(walk.driver().shows("Stone 23"));
    CHECK(walk.driver().shows("passed over: 22"));
    // The power goes, and comes again.
    walk.open();
    walk.press(Key::d7);
    CHECK(walk.driver().shows("Stone 23"));
    CHECK(walk.driver().shows("passed over: 22"));
    walk.driver().click("stone 22");
    walk.settle();
    CHECK(walk.driver().shows("Picked"));
    CHECK(walk.driver().shows("the coat it was passed over for"));
    walk.clock().advance(5.0);
    wet();
    CHECK(walk.driver().shows("Stone 23"));
    CHECK_FALSE(walk.driver().shows("passed over: 22"));
    // A cue for every row whose wait runs, and none for the row that is under way before it.
    const std::vector<Cue> cues = walk.window().cues();
    CHECK(cues.size() >= 2);
    for (const Cue& cue : cues) {
        CHECK(cue.kind == CueKind::coat_due);
    }
    CHECK(cues.front().lane == 1);
    CHECK(walk.window().hands_full());
    walk.press(Key::n);
    CHECK(walk.driver().shows("Note at this coating"));
    walk.press(Key::esc);
    walk.press(Key::t);
    CHECK(walk.driver().shows("No bottle is written down."));
    walk.press(Key::v);
    CHECK(walk.driver().shows("Stone 23"));
}

TEST_CASE("the last coat on, the copper button ends the evening and says from when a bath may begin") {
    Walk walk(false);
    walk.has("person.add", {{"initials", "MK"}, {"role", "maker"}});
    begin(walk, {{"stones", "3"}, {"coats", "1"}, {"by-row", "yes"}});
    walk.press(Key::d7);
    CHECK(walk.driver().shows("Row 1"));
    walk.press(Key::space);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("All coats on"));
    CHECK(walk.driver().shows("its coat is on"));
    check_findings(walk, "all on");
    walk.clock().advance(30.0);
    walk.press(Key::space);
    CHECK(walk.driver().shows("ended; into a bath from"));
    CHECK_FALSE(walk.window().hands_full());
    check_findings(walk, "ended");
}

TEST_CASE("the demo: an evening like the last, the slow bottle found, seals paired") {
    Walk walk(true);
    walk.press(Key::d7);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("of coating"));
    check_findings(walk, "plan");
    walk.press(Key::t);
    CHECK(walk.driver().shows("LQ-3"));
    CHECK(walk.driver().shows("Brushes or dries slower than your other bottles"));
    CHECK(walk.driver().shows("colder and damper"));
    check_findings(walk, "bottles");
    walk.press(Key::s);
    CHECK(walk.driver().shows("brushed lacquer"));
    CHECK(walk.driver().shows("40 sealed"));
    CHECK(walk.driver().shows("not paired"));
    check_findings(walk, "seals");
    walk.press(Key::b);
    CHECK(walk.driver().shows("Begin coating"));
}

TEST_CASE("a bottle that was found is shown with its evenings") {
    Walk walk(true);
    CHECK(walk.window().open_page("coats/bottles/LQ-1"));
    walk.settle();
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("LQ-1, evening by evening"));
    CHECK(walk.driver().shows("Seconds a stone"));
    check_findings(walk, "one bottle");
}
