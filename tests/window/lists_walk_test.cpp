// The lists of the page Safety, answered by keys alone: from door to make-up on a log that someone typed, the bench's own
// list, what may be passed over, and a list ticked too fast.
#include "store/record.hpp"
#include "window/walk.hpp"

#include <algorithm>

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

namespace {

// A log with a jar, a vessel and its maker, and nobody who answers lists for the walk.
void type_log(Walk& walk) {
    walk.answers_lists = false;
    walk.has("person.add", {{"initials", "MK"}, {"role", "maker"}});
    walk.has("lot.add", {{"number", "LS-1"}, {"kind", "liver_of_sulfur_lump"}, {"form", "lump"}});
    walk.has("vessel.add", {{"number", "V1"}});
}

// Looks long enough for any line, then says `words` to the item in hand.
void say(Walk& walk, const std::string& words) {
    walk.clock().advance(20.0);
    walk.press(Key::enter);
    walk.driver().type(words);
    walk.press(Key::enter);
}

std::string in_hand(const Walk& walk) {
    for (const ProbeWidget& widget : walk.driver().probe().widgets()) {
        if (widget.kind == "checklist item" && !widget.interactive) {
            return widget.label;
        }
    }
    return {};
}

}  // namespace

TEST_CASE("by keys alone, from an empty list to its last line; then a bath may be made up") {
    Walk walk(false);
    type_log(walk);
    const std::map<std::string, std::string> bath{{"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"vessel", "V1"}, {"start-temp", "60 C"}};
    CHECK_FALSE(walk.does("bath.make-up", bath));
    walk.press(kSafetyKey);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Before mixing"));
    CHECK(walk.driver().shows("0 of"));
    CHECK(walk.driver().shows("Signed by MK"));
    check_findings(walk, "a list, nothing answered");
    std::vector<std::string> asked;
    while (walk.driver().shows("Say:") && asked.size() < 12) {
        const std::string item = in_hand(walk);
        REQUIRE_FALSE(item.empty());
        REQUIRE(std::find(asked.begin(), asked.end(), item) == asked.end());
        asked.push_back(item);
        say(walk, "looked at, in the hall");
        check_findings(walk, "after " + item);
    }
    CHECK(asked.size() >= 5);
    REQUIRE(walk.driver().shows("Close the list"));
    walk.clock().advance(20.0);
    walk.press(Key::enter);
    INFO(walk.driver().probe().screen_text());
    CHECK(store::list<CheckRun>(walk.window().studio().log(), "WHERE done_utc_ms IS NOT NULL").size() == 1);
    walk.has("bath.make-up", bath);
}

TEST_CASE("a stop has no way round it on the page; a must takes a name and a reason") {
    Walk walk(false);
    type_log(walk);
    walk.press(kSafetyKey);
    // The stops lead, and none of them can be passed over.
    while (walk.driver().shows("stops open")) {
        INFO(walk.driver().probe().screen_text());
        REQUIRE_FALSE(walk.driver().shows("Pass over"));
        walk.press(Key::o);
        REQUIRE_FALSE(walk.driver().shows("Why it is passed over"));
        say(walk, "in the hall");
    }
    REQUIRE(walk.driver().shows("Pass over"));
    const std::string passed = in_hand(walk);
    walk.press(Key::o);
    REQUIRE(walk.driver().shows("Why it is passed over"));
    check_findings(walk, "passing over");
    for (int i = 0; i < 20 && !walk.driver().focused().ends_with("/reason"); ++i) {
        walk.press(Key::tab);
    }
    walk.driver().type("tap under repair");
    walk.press(Key::enter, kCtrl);
    CHECK(in_hand(walk) != passed);
    CHECK(walk.driver().shows("passed over: tap under repair"));
}

TEST_CASE("ticked faster than it can be read: asked about, and kept as quick when kept") {
    Walk walk(false);
    type_log(walk);
    walk.press(kSafetyKey);
    say(walk, "in the hall");
    walk.press(Key::enter);
    walk.driver().type("x");
    walk.press(Key::enter);
    INFO(walk.driver().probe().screen_text());
    REQUIRE(walk.driver().shows("to read it takes"));
    CHECK(store::list<CheckAnswer>(walk.window().studio().log()).size() == 1);
    check_findings(walk, "too fast");
    walk.press(Key::k);
    const auto answers = store::list<CheckAnswer>(walk.window().studio().log(), "ORDER BY at_utc_ms, id");
    REQUIRE(answers.size() == 2);
    CHECK_FALSE(answers.front().quick);
    CHECK(answers.back().quick);
    // Read it after all: what was typed still stands there.
    say(walk, "worn");
    walk.press(Key::enter);
    walk.driver().type("all three, 2026");
    walk.press(Key::enter);
    REQUIRE(walk.driver().shows("Keep it"));
    walk.press(Key::t);
    CHECK_FALSE(walk.driver().shows("Keep it"));
    walk.clock().advance(20.0);
    walk.press(Key::enter);
    const auto after = store::list<CheckAnswer>(walk.window().studio().log(), "ORDER BY at_utc_ms, id");
    REQUIRE(after.size() == 4);
    CHECK_FALSE(after.back().quick);
    CHECK(after.back().response == "all three, 2026");
}

TEST_CASE("the demo: what was stated last time is one key away, and arrows reach any line") {
    Walk walk(true);
    walk.press(kSafetyKey);
    INFO(walk.driver().probe().screen_text());
    const std::string first = in_hand(walk);
    REQUIRE_FALSE(first.empty());
    check_findings(walk, "demo");
    walk.press(Key::down);
    CHECK(in_hand(walk) != first);
    walk.press(Key::up);
    CHECK(in_hand(walk) == first);
    CHECK(walk.driver().shows("the limit used"));
    CHECK(walk.driver().shows("smell is lost"));
}

TEST_CASE("a whole list by touch alone, each target 48 px or more") {
    Walk walk(false);
    type_log(walk);
    walk.answers_lists = true;
    walk.has("bath.make-up", {{"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"vessel", "V1"}});
    walk.clock().advance(20.0 * 60.0);
    walk.has("check.confirm", {{"bath", "1"}, {"item", "acid_away: none used\nair: fan 3, tissue drifts away\nroom: MK alone\neyes_hands: worn, blue\nknows: AP\neyewash: 6 s\ngo: now"}});
    walk.clock().advance(3.0 * 3600.0);  // asked again, and what was stated this morning is offered
    walk.settle();
    walk.press(kSafetyKey);
    CHECK(walk.driver().shows("0 of 6 answered"));
    int touched = 0;
    const auto next = [&]() -> std::optional<ProbeWidget> {
        for (const ProbeWidget& widget : walk.driver().probe().widgets()) {
            if (widget.interactive && (widget.path.ends_with("/as before") || widget.path.ends_with("/close"))) {
                return widget;
            }
        }
        return std::nullopt;
    };
    for (std::optional<ProbeWidget> target = next(); target && touched < 12; target = next()) {
        INFO(target->path);
        CHECK(target->rect.w() >= 48.0F);
        CHECK(target->rect.h() >= 48.0F);
        walk.clock().advance(20.0);
        walk.driver().click_at(target->rect.mid());
        walk.settle();
        ++touched;
    }
    INFO(walk.driver().probe().screen_text());
    CHECK(touched == 7);  // six lines, and the last
    CHECK(walk.driver().shows("6 of 6 answered"));
    CHECK(walk.driver().shows("Check done by MK"));
}
