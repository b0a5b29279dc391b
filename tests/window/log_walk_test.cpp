// The sheet of the log by keys: backups, a rehearsal, and another bench's log looked at and joined.
#include "window/walk.hpp"

#include "app/studio.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <thread>

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

namespace {

void open_sheet(Walk& walk) {
    walk.press(Key::slash);
    walk.driver().type("another bench's log");
    walk.settle();
    walk.press(Key::enter);
}

// A log of another bench with so many pieces, P-1 among them.
std::filesystem::path other_bench(const Folder& folder, int pieces) {
    const std::filesystem::path file = folder.path() / "case.tonebath";
    const HandClock clock({.utc_ms = 1'774'946'520'000, .offset_min = 60});
    app::StudioOptions options{.log = file, .create = true};
    options.data = std::string(TONEBATH_SOURCE_DIR) + "/data";
    auto studio = app::Studio::open(options, clock);
    REQUIRE(studio);
    for (int first = 1; first <= pieces; first += 200) {  // as many as one row may have
        const std::string row = fmt::format("P-{}..P-{}", first, std::min(first + 199, pieces));
        const app::Form form{.action = "piece.add", .typed = {{"number", row}, {"design", "Samphire"}, {"metal", "sterling"}}};
        const auto added = (*studio)->carry_out(form);
        INFO((added ? "" : added.error().text()));
        REQUIRE(added);
    }
    return file;
}

}  // namespace

TEST_CASE("the log's sheet: a backup, its rehearsal, another bench looked at first and then joined, undone by one key") {
    const Folder elsewhere;
    const std::filesystem::path file = other_bench(elsewhere, 3);
    Walk walk(false);
    walk.has("piece.add", {{"number", "P-1"}, {"design", "Groyne"}, {"metal", "sterling"}});
    open_sheet(walk);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("The log"));
    CHECK(walk.driver().shows("No backup yet."));
    check_findings(walk, "log sheet, new");
    walk.press(Key::b, kAlt);
    CHECK(walk.driver().shows("Backup written and read back"));
    CHECK(walk.driver().shows("log-2026-03-31T0942.tonebath"));
    walk.press(Key::r, kAlt);
    CHECK(walk.driver().shows("was put in place aside and opens whole"));

    REQUIRE(walk.driver().focused().ends_with("/other"));
    walk.driver().type(file.string());
    walk.settle();
    CHECK_FALSE(walk.driver().has("join"));  // not before it was looked at
    walk.press(Key::l, kAlt);
    CHECK(walk.driver().shows("New: 3 pieces"));
    CHECK(walk.driver().shows("On both benches: piece P-1. Give the other bench a mark"));
    walk.press(Key::j, kAlt);
    CHECK(walk.driver().shows("neither has a bench mark"));
    CHECK(walk.window().studio().undo_step() == "piece P-1");
    walk.press(Key::tab);
    walk.driver().type("T");
    walk.settle();
    walk.press(Key::l, kAlt);
    CHECK(walk.driver().shows("Ours is P-1, theirs P-1-T"));
    check_findings(walk, "log sheet, looked at");
    walk.press(Key::j, kAlt);
    CHECK(walk.driver().shows("Joined. New: 3 pieces"));
    CHECK_FALSE(walk.driver().has("join"));
    walk.press(Key::esc);
    CHECK_FALSE(walk.driver().shows("Another bench's log"));
    CHECK(walk.window().studio().undo_step() == "join the log of bench T");
    walk.press(Key::z, kCtrl);
    CHECK(walk.window().studio().undo_step() == "piece P-1");
}

TEST_CASE("the log's sheet opened with another bench's log has looked at it; figures of work by the slash key and by name") {
    const Folder elsewhere;
    const std::filesystem::path file = other_bench(elsewhere, 2);
    Walk walk(false);
    REQUIRE(walk.window().open_page("log/" + file.string()));
    walk.settle();
    CHECK(walk.driver().shows("New: 2 pieces"));
    CHECK(walk.driver().has("join"));
    walk.press(Key::esc);
    for (const auto& [typed, title, says] : {std::array{"what pieces take", "What pieces take", "No piece was worked on yet."},
                                             std::array{"what mistakes cost", "What mistakes cost", "Nothing went over"},
                                             std::array{"kit for the class", "Kit for the class", "No class is written down."},
                                             std::array{"this week last year", "This week last year", "This week"}}) {
        CAPTURE(typed);
        walk.press(Key::slash);
        walk.driver().type(typed);
        walk.settle();
        walk.press(Key::enter);
        walk.settle();
        INFO(walk.driver().probe().screen_text());
        CHECK(walk.driver().shows(title));
        CHECK(walk.driver().shows(says));
        walk.press(Key::esc);
    }
    CHECK(walk.window().open_page("work/minutes"));
    walk.settle();
    CHECK(walk.driver().shows("No piece was worked on yet."));
    CHECK_FALSE(walk.window().open_page("work/nothing"));
}

TEST_CASE("a look and a join go on beside the window, on a thread and a connection of their own") {
    const Folder elsewhere;
    const std::filesystem::path file = other_bench(elsewhere, 400);
    Walk walk(false, {}, false);
    open_sheet(walk);
    walk.driver().type(file.string());
    walk.settle();
    const auto until = [&](const std::string& words) {
        for (int i = 0; i < 600 && !walk.driver().shows(words); ++i) {
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
            walk.settle();
        }
        INFO(walk.driver().probe().screen_text());
        CHECK(walk.driver().shows(words));
    };
    until("Backups");
    for (int i = 0; i < 200 && !walk.driver().has("look"); ++i) {  // the backup of the day is under way
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
        walk.settle();
    }
    walk.press(Key::l, kAlt);
    until("New: 400 pieces");
    walk.press(Key::j, kAlt);
    until("Joined. New: 400 pieces");
    CHECK(walk.window().studio().undo_step() == "join the log case.tonebath");
}
