// What the explainers show, walked without a display: the invented studio, an empty log, and a small one typed by hand.
#include "window/walk.hpp"

#include "app/reckoner.hpp"

#include <atomic>
#include <chrono>
#include <thread>

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

namespace {

void turn_to(Walk& walk, std::string_view page) {
    REQUIRE(walk.window().open_page(page));
    walk.settle();
}

// Four pieces of one batch dipped by hand in one bath, the last for nearly three times as long.
void four_pieces(Walk& walk) {
    walk.has("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}});
    walk.has("bath.make-up", {{"number", "1"}, {"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "20"}, {"at", "08:00"}});
    walk.has("batch.add", {{"number", "1"}});
    walk.has("piece.add", {{"number", "L-1..L-4"}, {"batch", "1"}, {"design", "Limpet"}, {"metal", "sterling"}});
    struct Dipped {
        const char* number;
        const char* length;
        const char* tone;
    };
    for (const auto& [number, length, tone] : {Dipped{"L-1", "15", "amber"}, Dipped{"L-2", "15", "amber"}, Dipped{"L-3", "15", "amber"}, Dipped{"L-4", "40", "black"}}) {
        walk.has("dip.enter", {{"bath", "1"}, {"piece", number}, {"length", length}, {"dropped", "08:10"}});
        walk.has("judgement.add", {{"piece", number}, {"tone", tone}});
    }
}

}  // namespace

TEST_CASE("the invented studio: why a piece differs, as bars and words") {
    Walk walk(true);
    turn_to(walk, "pieces/why/L-058");
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Why is the lid lighter than its batch?"));
    CHECK(walk.driver().shows("mostly by heat of the bath."));
    CHECK(walk.driver().shows("heat of the bath"));
    CHECK(walk.driver().shows("of the dose: 40.9 °C, mates 47.5 °C"));
    CHECK(walk.driver().shows("not explained"));
    CHECK(walk.driver().shows("The cup is as its batch"));
    check_findings(walk, "why");
    // The one whose records are its mates'.
    turn_to(walk, "pieces/why/L-016");
    CHECK(walk.driver().shows("Nothing recorded explains this."));
    check_findings(walk, "why, nothing recorded");
    // D goes there and back.
    walk.press(Key::d);
    CHECK_FALSE(walk.driver().shows("Nothing recorded explains this."));
    walk.press(Key::d);
    CHECK(walk.driver().shows("Nothing recorded explains this."));

    // The seconds of its last dip on a slider: the actual time gives the actual tone, and it comes back to it.
    turn_to(walk, "pieces/matched/L-058");
    const auto value = [&] { return walk.driver().widget("pieces/seconds").value; };
    const std::string actual = value();
    CHECK(walk.driver().shows("as it was: amber"));
    CHECK(actual.ends_with(", amber"));
    check_findings(walk, "matched");
    walk.press(Key::right);
    CHECK(value() != actual);
    walk.press(Key::left);
    CHECK(value() == actual);
    for (int i = 0; i < 20; ++i) {
        walk.press(Key::right, kShift);  // ten stops each
    }
    CHECK(value().ends_with("black"));
    CHECK_FALSE(walk.driver().shows("as it was:"));
    const Rect line = walk.driver().widget("pieces/seconds").rect;
    walk.driver().drag({line.x1 - 12.0F, line.mid_y()}, {line.x0 + line.w() * 0.25F, line.mid_y()});
    walk.settle();
    INFO(value());
    CHECK(value().find("black") == std::string::npos);
    CHECK(value() != actual);
    turn_to(walk, "pieces/rescue/L-058");
    CHECK(walk.driver().shows("Your own log"));
    // What is not for this piece stands last: turned to by the wheel.
    for (int turns = 0; turns < 40 && !walk.driver().shows("from memory"); ++turns) {
        walk.driver().wheel({900.0F, 500.0F}, -1.0F);
        walk.settle();
    }
    CHECK(walk.driver().shows("from memory"));
    CHECK_FALSE(walk.driver().shows("[M]"));
    CHECK_FALSE(walk.driver().shows("FOIL-"));

    // A piece of two metals that waits: where its other part will be, on the plan and at the bench before the drop.
    turn_to(walk, "tones");
    CHECK(walk.driver().shows("Before L-067 goes in"));
    CHECK(walk.driver().shows("Two metals in one bath."));
    walk.has("bench.lay-out", {{"bath", "46"}, {"aim", "blue"}, {"part", "L-067 lid"}});
    test::answer_lists(walk.window().studio(), {.action = "dip.drop", .typed = {{"bath", "46"}}});
    turn_to(walk, "bench");
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Drop L-067 lid in"));
    CHECK(walk.driver().shows("Before L-067 goes in"));
    CHECK(walk.driver().shows("is at dark brown"));
    check_findings(walk, "bench, two metals");

    // Drift and groups stand on Tones.
    turn_to(walk, "tones");
    walk.press(Key::d);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("points at the lot"));
    CHECK(walk.driver().shows("Check it in ice"));
    CHECK(walk.driver().shows("Check the metal: brass is written down."));
    CHECK(walk.driver().shows("limits from the first 20 baths"));
    check_findings(walk, "drift");
    walk.driver().click("look/groups");
    walk.settle();
    CHECK(walk.driver().shows("AP against MK"));
    CHECK(walk.driver().shows("as they look"));
    CHECK(walk.driver().shows("at equal dose, 80 of 100"));
    check_findings(walk, "groups");
    walk.driver().click("by/rack");
    walk.settle();
    CHECK(walk.driver().shows("rack"));
    CHECK_FALSE(walk.driver().shows("AP against MK"));
    check_findings(walk, "groups by rack");
    // The apprentice's pieces look darker in one batch because she dips first, in the hottest bath.
    const auto choose = [&walk](const std::string& list, const std::string& wanted) {
        for (int i = 0; i < 40 && walk.driver().widget("findings/" + list).value != wanted; ++i) {
            walk.driver().click("findings/" + list);
            walk.settle();
            walk.press(Key::down);
            walk.press(Key::enter);
        }
        CHECK(walk.driver().widget("findings/" + list).value == wanted);
    };
    walk.driver().click("by/who");
    walk.settle();
    choose("batch", "batch 9");
    choose("part", "lid");
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("MK against AP"));
    CHECK(walk.driver().shows("lighter (L*"));
    CHECK(walk.driver().shows("Between them differed too: heat of the bath"));
    CHECK(walk.driver().shows("At equal dose the difference"));
    check_findings(walk, "groups of one batch");
    walk.driver().click("look/records");
    walk.settle();
    CHECK(walk.driver().shows("Curves"));
}

TEST_CASE("an empty log says why nothing can be told yet") {
    Walk walk(false);
    turn_to(walk, "tones/drift");
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("too few to tell of drift"));
    check_findings(walk, "drift, empty");
    turn_to(walk, "tones/groups");
    CHECK(walk.driver().shows("No judged pieces to compare."));
    check_findings(walk, "groups, empty");
    turn_to(walk, "tones/promises");
    CHECK(walk.driver().shows("No piece has been judged yet that was dipped by the clock."));
    check_findings(walk, "promises, empty");
}

TEST_CASE("a small log: the longest dip is named, and a piece alone cannot be compared") {
    Walk walk(false);
    four_pieces(walk);
    turn_to(walk, "pieces/why/L-4");
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Why is it further than its batch?"));
    CHECK(walk.driver().shows("At least"));
    CHECK(walk.driver().shows("time in the bath"));
    CHECK(walk.driver().shows("40 s, mates 15 s"));
    CHECK(walk.driver().shows("Not written down, so not counted as equal"));
    check_findings(walk, "why, small");
    turn_to(walk, "pieces/matched/L-4");
    CHECK(walk.driver().shows("more time adds nothing"));
    turn_to(walk, "pieces/matched/L-1");
    CHECK(walk.driver().shows("15 s, and it became amber"));
    walk.has("piece.add", {{"number", "L-9"}, {"metal", "sterling"}});
    turn_to(walk, "pieces/why/L-9");
    CHECK(walk.driver().shows("It cannot be compared yet"));
    check_findings(walk, "why, alone");
    turn_to(walk, "tones/promises");
    CHECK(walk.driver().shows("Promises kept"));
    check_findings(walk, "promises, small");
}

TEST_CASE("two metals in a small log: reports that contradict, and a base that is not known") {
    Walk walk(false);
    walk.has("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}});
    walk.has("bath.make-up", {{"number", "1"}, {"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "20"}, {"at", "08:00"}});
    walk.has("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    walk.has("dip.enter", {{"bath", "1"}, {"strip", "1"}, {"length", "20"}, {"dropped", "08:10"}});
    walk.has("judgement.add", {{"strip", "1"}, {"tone", "purple"}});
    turn_to(walk, "tones");
    CHECK(walk.driver().shows("Sterling"));
    CHECK_FALSE(walk.driver().shows("Before"));  // no piece waits
    walk.has("metal.add", {{"name", "silver plate"}, {"base-under", "unknown"}});
    walk.has("piece.add", {{"number", "B-1"}});
    walk.has("part.add", {{"piece", "B-1"}, {"name", "lid"}, {"metal", "sterling"}});
    walk.has("part.add", {{"piece", "B-1"}, {"name", "ring"}, {"metal", "yellow brass"}});
    walk.has("part.add", {{"piece", "B-1"}, {"name", "chain"}, {"metal", "silver plate"}});
    turn_to(walk, "tones");
    // The words scroll: all of them are read by turning the wheel over them.
    std::string read = walk.driver().probe().screen_text();
    const Rect strip = walk.driver().widget("tones/dip a strip").rect;
    for (int turn = 0; turn < 12; ++turn) {
        walk.driver().wheel({strip.mid_x(), strip.y0 - 40.0F}, -1.0F);
        walk.settle();
        read += walk.driver().probe().screen_text();
    }
    INFO(read);
    for (const char* words : {"Before B-1 goes in", "Two metals in one bath.", "reported not to", "reported to go", "(2014)", "known. Where it"}) {
        INFO(words);
        CHECK(read.find(words) != std::string::npos);
    }
    check_findings(walk, "plan, two metals");
}

TEST_CASE("with threads of its own the window draws on, and shows the figure when it has come") {
    Walk walk(false, {}, false);
    four_pieces(walk);
    turn_to(walk, "pieces/why/L-4");
    for (int i = 0; i < 1000 && !walk.driver().shows("Why is it further than its batch?"); ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
        walk.settle();
    }
    CHECK(walk.driver().shows("Why is it further than its batch?"));
    turn_to(walk, "tones/promises");
    for (int i = 0; i < 1000 && !walk.driver().shows("Promises kept"); ++i) {
        CHECK(walk.driver().shows("Reckoning"));
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
        walk.settle();
    }
    CHECK(walk.driver().shows("Promises kept"));
}

TEST_CASE("what takes seconds holds up neither the quick nor the end") {
    Folder folder;
    HandClock clock({.utc_ms = 1'774'946'520'000, .offset_min = 60});
    const std::filesystem::path source = TONEBATH_SOURCE_DIR;
    app::StudioOptions options{.log = folder.path() / "log.tonebath", .create = true, .data = source / "data", .checklists = source / "checklists"};
    const auto studio = app::Studio::open(options, clock);
    REQUIRE(studio);
    std::atomic<int> woken = 0;
    std::atomic<bool> began = false;
    std::atomic<bool> ended_early = false;
    const auto until = [](const auto& true_now) {
        for (int i = 0; i < 2000; ++i) {
            if (true_now()) {
                return true;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
        }
        return false;
    };
    app::Reckoned<bool> slow;
    app::Reckoned<bool> quick;
    {
        app::Reckoner reckoner(options, clock, [&] { ++woken; });
        slow.ask(
            reckoner,
            [&](app::Studio&, const app::StillWanted& wanted) {
                began = true;
                while (wanted()) {
                    std::this_thread::sleep_for(std::chrono::milliseconds(1));
                }
                ended_early = true;
                return true;
            },
            app::Pace::slow);
        CHECK(until([&] { return began.load(); }));
        // On a connection of its own, which can only read.
        quick.ask(reckoner, [](app::Studio& own, const app::StillWanted&) { return own.options().read_only; });
        CHECK(until([&] { return quick.look(); }));
        REQUIRE(quick.latest() != nullptr);
        CHECK(*quick.latest());
        CHECK(woken >= 1);
        CHECK_FALSE(slow.look());
        CHECK_FALSE(ended_early);
        // The answer stays while the next is worked out, and what fails is not taken for one.
        quick.ask(reckoner, [](app::Studio&, const app::StillWanted&) -> bool { throw std::runtime_error("on purpose"); });
        CHECK(until([&] { return woken >= 2; }));
        CHECK_FALSE(quick.look());
        CHECK(*quick.latest());
    }
    CHECK(ended_early);  // closing did not wait for it to be done
}
