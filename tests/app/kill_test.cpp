// A bench session in a process of its own is killed at random moments: each press that was confirmed is there, nothing is
// half there, and the dip that was in runs on with its right time. After SQLite, How SQLite Is Tested, section 3.3.
#include "app/kill_session.hpp"

#include "app/actions.hpp"
#include "app/studio.hpp"
#include "store/log.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>
#include <random>
#include <string>

using namespace tonebath;
using namespace tonebath::test;

namespace {

std::unique_ptr<app::Studio> opened(const std::filesystem::path& file, const Clock& clock, bool create = false) {
    Result<std::unique_ptr<app::Studio>> studio = app::Studio::open(session_options(file, create), clock);
    INFO((studio ? std::string() : studio.error().text()));
    REQUIRE(studio);
    return std::move(studio).value();
}

std::int64_t count(app::Studio& studio, const std::string& sql, const std::vector<store::Bound>& values = {}) {
    store::Query query(studio.log(), sql, values);
    REQUIRE(query.next());
    return query.integer(0);
}

// Everything that a confirmed step made is there: the record, and its row in the change log.
void check_made(app::Studio& studio, const Step& step) {
    for (const auto& [noun, id] : step.made) {
        std::string table = noun == "check" ? "check_run" : noun;
        CAPTURE(step.action, noun, id);
        CHECK(count(studio, "SELECT count(*) FROM change_row WHERE record_id = ?1", {id}) > 0);
        if (step.action != "dip.undo-press" && noun != "dip") {
            CHECK(count(studio, "SELECT count(*) FROM " + table + " WHERE id = ?1", {id}) == 1);
        }
    }
}

// What must hold of every log of timed work, whenever it was cut off.
void check_nothing_half(app::Studio& studio) {
    const std::vector<std::pair<std::string, std::string>> torn{
        {"a dip without its drop press", "SELECT count(*) FROM dip WHERE id NOT IN (SELECT dip_id FROM press WHERE act = 'drop' AND undone = 0)"},
        {"a drop press without its dip", "SELECT count(*) FROM press WHERE act = 'drop' AND undone = 0 AND dip_id NOT IN (SELECT id FROM dip)"},
        {"a drop taken back whose dip is there", "SELECT count(*) FROM press WHERE act = 'drop' AND undone = 1 AND dip_id IN (SELECT id FROM dip)"},
        {"out without its press", "SELECT count(*) FROM dip WHERE out_utc_ms IS NOT NULL AND id NOT IN (SELECT dip_id FROM press WHERE act = 'out' AND undone = 0)"},
        {"an out press without its out", "SELECT count(*) FROM press WHERE act = 'out' AND undone = 0 AND dip_id NOT IN (SELECT id FROM dip WHERE out_utc_ms IS NOT NULL)"},
        {"out without its length", "SELECT count(*) FROM dip WHERE (out_utc_ms IS NULL) <> (in_bath_s IS NULL)"},
        {"a rinse without its press", "SELECT count(*) FROM rinse WHERE dip_id NOT IN (SELECT dip_id FROM press WHERE act = 'rinsed' AND undone = 0)"},
        {"a rinse press without its rinse", "SELECT count(*) FROM press WHERE act = 'rinsed' AND undone = 0 AND dip_id NOT IN (SELECT dip_id FROM rinse)"},
        {"a list begun, and not closed in the same step", "SELECT count(*) FROM check_run WHERE list_key <> 'during' AND done_utc_ms IS NULL"},
        {"a list without its answers", "SELECT count(*) FROM check_run WHERE (SELECT count(*) FROM check_answer WHERE run_id = check_run.id AND level = 'stop') = 0"},
        {"a change without rows", "SELECT count(*) FROM change WHERE seq NOT IN (SELECT change_seq FROM change_row)"},
        {"a row without its change", "SELECT count(*) FROM change_row WHERE change_seq NOT IN (SELECT seq FROM change)"}};
    for (const auto& [what, sql] : torn) {
        CAPTURE(what);
        CHECK(count(studio, sql) == 0);
    }
}

struct Tally {
    std::size_t confirmed = 0;
    std::size_t dips = 0;
    int kills_in_write = 0;
    int kills_in_step = 0;
    int dips_running = 0;
};

// The dip that hung in the bath when the session was killed, lifted out now: the time must be that from its press to now.
void check_running_dip(app::Studio& studio, const Session& killed, Tally& tally) {
    const std::vector<Dip> running = store::list<Dip>(studio.log(), "WHERE out_utc_ms IS NULL AND in_bath_s IS NULL");
    REQUIRE(running.size() <= 1);
    if (const std::optional<std::string> must = killed.must_run()) {
        REQUIRE(running.size() == 1);
        CHECK(running.front().id.text == *must);
    }
    if (running.empty()) {
        return;
    }
    ++tally.dips_running;
    const std::optional<std::pair<std::int64_t, std::int64_t>> dropped = killed.last_drop_ms();
    REQUIRE(dropped);
    CHECK(*running.front().dropped_boot_ms >= dropped->first);
    CHECK(*running.front().dropped_boot_ms <= dropped->second);
    const std::int64_t before = studio.clock().boot().ms;
    const Result<app::Outcome> out = studio.carry_out(app::Form{.action = "dip.out", .typed = {}, .kept = {}, .from_memory = {}});
    INFO((out ? out->said : out.error().text()));
    REQUIRE(out);
    const std::int64_t after = studio.clock().boot().ms;
    const std::optional<Dip> lifted = store::find(studio.log(), running.front().id);
    REQUIRE(lifted);
    REQUIRE(lifted->in_bath);
    CHECK_FALSE(lifted->clock_gap);
    // Whole milliseconds at both ends.
    CHECK(lifted->in_bath->seconds() >= static_cast<double>(before - dropped->second) / 1000.0 - 0.002);
    CHECK(lifted->in_bath->seconds() <= static_cast<double>(after - dropped->first) / 1000.0 + 0.002);
}

}  // namespace

TEST_CASE("A bench session killed at random moments keeps every confirmed press, and its dip runs on") {
    const char* asked = std::getenv("TONEBATH_LONG_ROUNDS");
    const int usual = std::getenv("TONEBATH_LONG") != nullptr ? 200 : 20;
    const int rounds = asked != nullptr ? std::atoi(asked) : usual;
    REQUIRE(rounds > 0);
    const std::uint32_t seed = std::random_device()();
    CAPTURE(seed);
    std::mt19937 random(seed);
    const Folder folder;
    const std::filesystem::path file = folder.path / "log.tonebath";
    const SystemClock clock;
    { set_up_studio(*opened(file, clock, true)); }
    Tally tally;
    for (int round = 0; round < rounds; ++round) {
        CAPTURE(round);
        std::int64_t changes_before = 0;
        { changes_before = count(*opened(file, clock), "SELECT count(*) FROM change"); }
        const Session killed = run_and_kill(file, random);
        INFO(killed.trouble);
        REQUIRE(killed.trouble.empty());
        REQUIRE(killed.was_killed);
        tally.confirmed += killed.confirmed.size();
        tally.kills_in_step += killed.begun ? 1 : 0;
        tally.kills_in_write += killed.in_write ? 1 : 0;

        const std::unique_ptr<app::Studio> studio = opened(file, clock);
        REQUIRE(studio->log().faults().empty());
        for (const Step& step : killed.confirmed) {
            check_made(*studio, step);
        }
        for (const std::string& dip : killed.confirmed_dips()) {
            CAPTURE(dip);
            ++tally.dips;
            CHECK(count(*studio, "SELECT count(*) FROM dip WHERE id = ?1", {dip}) == 1);
        }
        // Each confirmed step is one change; at most the one step under way is there besides.
        const std::int64_t written = count(*studio, "SELECT count(*) FROM change") - changes_before;
        const auto confirmed = static_cast<std::int64_t>(killed.confirmed.size());
        CHECK(written >= confirmed);
        CHECK(written <= confirmed + (killed.begun ? 1 : 0));
        check_nothing_half(*studio);
        check_running_dip(*studio, killed, tally);
        check_nothing_half(*studio);
    }
    WARN(rounds << " kills: " << tally.kills_in_step << " in a step, " << tally.kills_in_write << " of them with rows written and not yet confirmed; "
                << tally.confirmed << " steps and " << tally.dips << " dips confirmed, " << tally.dips_running << " dips ran on");
    CHECK(tally.kills_in_write > 0);
    CHECK(tally.dips_running > 0);
}
