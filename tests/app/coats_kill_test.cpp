// The power goes at a random stone of a coating: every press that was told as done is there, nothing is half there (a row is
// whole or not at all), and the evening goes on at the next stone in its own unit, with its waits as they ran.
#include "app/coating.hpp"
#include "app/kill_session.hpp"
#include "app/studio.hpp"
#include "store/log.hpp"
#include "support/lists.hpp"

#include <SQLiteCpp/Database.h>
#include <catch2/catch.hpp>
#include <sqlite3.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <random>
#include <thread>

using namespace tonebath;
using namespace tonebath::test;

namespace {

constexpr int kStones = 36, kRow = 9, kCoats = 3;
constexpr double kEach_s = 25.0;
const Stamp kBegan = *parse_iso("2026-03-30T19:00:00.000+01:00", 60);

std::unique_ptr<app::Studio> opened(const std::filesystem::path& file, const Clock& clock, bool create = false) {
    auto studio = app::Studio::open(session_options(file, create), clock);
    INFO((studio ? std::string() : studio.error().text()));
    REQUIRE(studio);
    return std::move(studio).value();
}
void does(app::Studio& studio, const std::string& action, std::map<std::string, std::string> typed) {
    const app::Form form{.action = action, .typed = std::move(typed), .kept = {}, .from_memory = {}};
    test::answer_lists(studio, form);
    const auto outcome = studio.carry_out(form);
    INFO(action << ": " << (outcome ? outcome->said : outcome.error().text()));
    REQUIRE(outcome);
}
void tell(int to, char sign) {
    if (write(to, &sign, 1) != 1) {
        _exit(3);
    }
}
void row_written(void* told, int, const char*, const char*, sqlite3_int64) { tell(*static_cast<int*>(told), 'W'); }

// The child: a press each time, B before it and C when it is told as done.
[[noreturn]] void press_on(const std::filesystem::path& file, const Stamp& from, double step_s, int told) {
    HandClock clock(from);
    auto studio = app::Studio::open(session_options(file, false), clock);
    if (!studio) {
        _exit(2);
    }
    sqlite3_update_hook((*studio)->log().database().getHandle(), row_written, &told);
    for (;;) {
        tell(told, 'B');
        if (!(*studio)->carry_out({.action = "coat.on", .typed = {}, .kept = {}, .from_memory = {}})) {
            _exit(0);  // every stone has its coats
        }
        tell(told, 'C');
        clock.advance(step_s);
    }
}

struct Heard {
    int confirmed = 0;
    bool begun = false, in_write = false;
};
Heard run_and_cut(const std::filesystem::path& file, const Stamp& from, double step_s, int most, std::mt19937& random) {
    int told[2];
    REQUIRE(pipe(told) == 0);
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        close(told[0]);
        press_on(file, from, step_s, told[1]);
    }
    close(told[1]);
    const int enough = std::uniform_int_distribution<int>(1, most)(random);
    std::string heard;
    char buffer[256];
    ssize_t got = 1;
    while (std::count(heard.begin(), heard.end(), 'B') < enough && (got = read(told[0], buffer, sizeof buffer)) > 0) {
        heard.append(buffer, static_cast<std::size_t>(got));
    }
    std::this_thread::sleep_for(std::chrono::microseconds(std::uniform_int_distribution<int>(0, 4000)(random)));
    kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    while ((got = read(told[0], buffer, sizeof buffer)) > 0) {
        heard.append(buffer, static_cast<std::size_t>(got));
    }
    close(told[0]);
    Heard what;
    what.confirmed = static_cast<int>(std::count(heard.begin(), heard.end(), 'C'));
    what.begun = std::count(heard.begin(), heard.end(), 'B') > what.confirmed;
    what.in_write = !heard.empty() && heard.back() == 'W';
    return what;
}

// Presses on disk must be these first `presses` of the evening and no other: the same count on each stone, its last coat begun
// when its press was made, and the next stone the one after.
void check_resumes(app::Studio& studio, int presses, bool by_row, double step_s) {
    const auto state = app::open_coating(studio);
    REQUIRE(state);
    CHECK(state->coating.by_row == by_row);
    const int unit = by_row ? kRow : 1;
    const int strokes = presses * unit;
    int counted = 0;
    for (const app::CoatPlace& place : state->places) {
        const int expected = strokes / kStones + (place.place <= strokes % kStones ? 1 : 0);
        CAPTURE(place.place);
        CHECK(place.done == expected);
        counted += place.done;
        if (expected > 0) {
            const int press = ((expected - 1) * kStones + place.place - 1) / unit;
            CHECK(place.begun->utc_ms == plus_seconds(kBegan, press * step_s).utc_ms);
        }
    }
    CHECK(counted == strokes);
    if (strokes < kStones * kCoats) {
        CHECK(state->next_place == strokes % kStones + 1);
        CHECK(state->next_layer == strokes / kStones + 1);
        if (strokes >= kStones) {
            const int press = (strokes - kStones) / unit;
            CHECK(state->next_from->utc_ms == plus_seconds(kBegan, press * step_s + 600.0).utc_ms);
        }
    } else {
        CHECK_FALSE(state->next_place);
    }
}

struct Tally {
    int cuts = 0, in_write = 0, presses = 0;
};
void cut_power(int rounds, std::uint32_t seed, Tally& tally) {
    std::mt19937 random(seed);
    const Folder folder;
    const std::filesystem::path file = folder.path / "log.tonebath";
    {
        const HandClock clock(kBegan);
        const auto studio = opened(file, clock, true);
        does(*studio, "person.add", {{"initials", "MK"}, {"role", "maker"}});
    }
    bool by_row = false;
    int presses = -1;  // no evening is open
    for (int round = 0; round < rounds; ++round) {
        CAPTURE(round);
        const double step_s = kEach_s * (by_row ? kRow : 1);
        if (presses < 0) {
            const HandClock clock(kBegan);
            does(*opened(file, clock), "coating.begin",
                 {{"stones", std::to_string(kStones)}, {"by-row", by_row ? "yes" : "no"}, {"who", "MK"}});
            presses = 0;
        }
        const Heard heard = run_and_cut(file, plus_seconds(kBegan, presses * step_s), step_s, by_row ? 6 : 30, random);
        ++tally.cuts;
        tally.in_write += heard.in_write ? 1 : 0;
        const HandClock after(plus_seconds(kBegan, (presses + heard.confirmed) * step_s));
        const auto studio = opened(file, after);
        REQUIRE(studio->log().faults().empty());
        const auto state = app::open_coating(*studio);
        REQUIRE(state);
        int strokes = 0;
        for (const app::CoatPlace& place : state->places) {
            strokes += place.done;
        }
        REQUIRE(strokes % (by_row ? kRow : 1) == 0);
        const int on_disk = strokes / (by_row ? kRow : 1);
        // All that was told as done; at most the one press under way besides.
        CHECK(on_disk >= presses + heard.confirmed);
        CHECK(on_disk <= presses + heard.confirmed + (heard.begun ? 1 : 0));
        tally.presses += on_disk - presses;
        presses = on_disk;
        check_resumes(*studio, presses, by_row, step_s);
        if (strokes == kStones * kCoats) {
            does(*studio, "coating.end", {});
            presses = -1;
            by_row = !by_row;
        }
    }
}

}  // namespace

TEST_CASE("the power goes at a random stone, five times: the evening goes on exactly where it was") {
    const std::uint32_t seed = std::random_device()();
    CAPTURE(seed);
    Tally tally;
    cut_power(5, seed, tally);
    CHECK(tally.cuts == 5);
    CHECK(tally.presses > 0);
}

TEST_CASE("the power goes at a random stone, a hundred times", "[.long]") {
    const std::uint32_t seed = std::random_device()();
    CAPTURE(seed);
    Tally tally;
    cut_power(100, seed, tally);
    WARN(tally.cuts << " cuts, " << tally.in_write << " of them with rows written and not yet told as done; " << tally.presses << " presses kept");
    CHECK(tally.in_write > 0);
}
