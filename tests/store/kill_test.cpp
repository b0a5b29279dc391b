// A process that writes presses of the bench key is killed at random moments: every press that was confirmed is there,
// each whole, and the file is sound. After SQLite, How SQLite Is Tested, section 3.3 (crash testing).
#include "store/test_log.hpp"

#include <sys/wait.h>
#include <unistd.h>
#include <catch2/catch.hpp>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <random>
#include <set>
#include <string>
#include <thread>

namespace tonebath::store {
namespace {

constexpr char kBegins = '<';  // a write begins
constexpr std::size_t kIdLength = 36;

// Writes "<" before and the press's id after each change, until it is killed.
[[noreturn]] void write_presses(const std::filesystem::path& file, std::uint64_t seed, int told) {
    IdSource ids(seed);
    const std::unique_ptr<Log> log = std::move(Log::open(file, OpenMode::read_write)).value();
    for (int i = 0;; ++i) {
        Press press;
        press.at = plus_seconds(kMorning, i);
        press.id = ids.next<Press>(press.at);
        press.boot_ms = i;
        press.act = i % 2 == 0 ? "drop" : "out";
        press.made_at = press.at;
        if (write(told, &kBegins, 1) != 1) {
            _exit(1);
        }
        Change change(*log, "press", press.at, "", ids);
        insert(*log, press);
        change.commit();
        if (write(told, press.id.text.data(), kIdLength) != static_cast<ssize_t>(kIdLength)) {
            _exit(1);
        }
    }
}

struct Round {
    std::vector<std::string> confirmed;
    bool hit_a_write = false;
};

Round run_and_kill(const std::filesystem::path& file, std::mt19937& random) {
    int told[2];
    REQUIRE(pipe(told) == 0);
    const std::uint64_t seed = random();
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        close(told[0]);
        write_presses(file, seed, told[1]);
    }
    close(told[1]);
    std::string heard;
    char buffer[4096];
    // Up to the beginning of a write, and then a little on.
    const std::size_t enough = std::uniform_int_distribution<std::size_t>(0, 20)(random) * (kIdLength + 1) + 1;
    while (heard.size() < enough) {
        const ssize_t got = read(told[0], buffer, sizeof buffer);
        REQUIRE(got > 0);
        heard.append(buffer, static_cast<std::size_t>(got));
    }
    // Sleeping, not spinning: on a busy machine the child needs the processor to be in the middle of something.
    std::this_thread::sleep_for(std::chrono::microseconds(std::uniform_int_distribution<int>(0, 3000)(random)));
    kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    CHECK(WIFSIGNALED(status));
    for (ssize_t got = 0; (got = read(told[0], buffer, sizeof buffer)) > 0;) {
        heard.append(buffer, static_cast<std::size_t>(got));
    }
    close(told[0]);
    Round round;
    for (std::size_t at = 0; at < heard.size(); at += kIdLength + 1) {
        REQUIRE(heard[at] == kBegins);
        if (at + kIdLength < heard.size()) {
            round.confirmed.push_back(heard.substr(at + 1, kIdLength));
        } else {
            round.hit_a_write = true;
        }
    }
    return round;
}

TEST_CASE("killed at random moments, the log keeps every confirmed press") {
    const char* asked = std::getenv("TONEBATH_LONG_ROUNDS");
    const int usual = std::getenv("TONEBATH_LONG") != nullptr ? 200 : 20;
    const int rounds = asked != nullptr ? std::atoi(asked) : usual;
    REQUIRE(rounds > 0);
    const std::uint32_t seed = std::random_device()();
    CAPTURE(seed);
    std::mt19937 random(seed);
    const TemporaryFolder folder;
    const std::filesystem::path file = folder / "log.tonebath";
    { const std::unique_ptr<Log> made = opened(file); }
    std::size_t confirmed = 0;
    int hits = 0;
    int unconfirmed_but_whole = 0;
    std::size_t before = 0;
    for (int round = 0; round < rounds; ++round) {
        CAPTURE(round);
        const Round killed = run_and_kill(file, random);
        confirmed += killed.confirmed.size();
        hits += killed.hit_a_write ? 1 : 0;

        const std::unique_ptr<Log> log = opened(file, OpenMode::read_write);
        REQUIRE(log->faults().empty());
        std::set<std::string> there;
        for (const Press& press : list<Press>(*log)) {
            there.insert(press.id.text);
        }
        std::size_t missing = 0;
        for (const std::string& id : killed.confirmed) {
            missing += there.count(id) == 0 ? 1U : 0U;
        }
        CHECK(missing == 0);
        // At most the one write that was under way is there without having been confirmed.
        REQUIRE(there.size() >= before + killed.confirmed.size());
        const std::size_t extra = there.size() - before - killed.confirmed.size();
        CHECK(extra <= (killed.hit_a_write ? 1U : 0U));
        unconfirmed_but_whole += static_cast<int>(extra);
        before = there.size();
        // Each press stands together with its row in the change log.
        Query torn(*log,
                   "SELECT (SELECT count(*) FROM press WHERE id NOT IN (SELECT record_id FROM change_row)) + "
                   "(SELECT count(*) FROM change_row WHERE record_id NOT IN (SELECT id FROM press)) + "
                   "(SELECT count(*) FROM change WHERE seq NOT IN (SELECT change_seq FROM change_row))");
        REQUIRE(torn.next());
        CHECK(torn.integer(0) == 0);
    }
    WARN(rounds << " kills, " << hits << " of them in a write, " << confirmed << " presses confirmed, "
                << unconfirmed_but_whole << " written but not yet confirmed");
    CHECK(hits > 0);
}

}  // namespace
}  // namespace tonebath::store
