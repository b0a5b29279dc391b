// Killed in the middle of a join, a backup or a restore: the log is as before or as after, never between.
#include "store/backup.hpp"
#include "store/join.hpp"
#include "store/rehearsal.hpp"
#include "store/test_log.hpp"

#include <sys/wait.h>
#include <unistd.h>
#include <catch2/catch.hpp>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <fstream>
#include <functional>
#include <random>
#include <thread>

namespace tonebath::store {
namespace {

namespace fs = std::filesystem;
using Micros = std::chrono::microseconds;

constexpr int kPieces = 150;

// Runs `work` in a child of its own; true when it was killed after `wait`, false when it ended by itself before.
bool killed_after(Micros wait, const std::function<void()>& work) {
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        try {
            work();
        } catch (...) {
            _exit(1);
        }
        _exit(0);
    }
    std::this_thread::sleep_for(wait);
    kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    if (WIFEXITED(status)) {
        CHECK(WEXITSTATUS(status) == 0);
    }
    return WIFSIGNALED(status);
}

// How long it takes here, so that the kills fall within it.
Micros length_of(const std::function<void()>& work) {
    const auto begun = std::chrono::steady_clock::now();
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        work();
        _exit(0);
    }
    int status = 0;
    waitpid(child, &status, 0);
    REQUIRE(WIFEXITED(status));
    return std::chrono::duration_cast<Micros>(std::chrono::steady_clock::now() - begun);
}

Micros within(Micros length, std::mt19937& random) {
    return Micros(std::uniform_int_distribution<std::int64_t>(0, length.count())(random));
}

void add_pieces(Log& log, IdSource& ids, const std::string& letter, int many) {
    in_change(log, ids, "pieces " + letter, [&] {
        for (int i = 0; i < many; ++i) {
            insert(log, piece_numbered(ids, letter + std::to_string(i)));
        }
    });
}

std::int64_t pieces_in(Log& log) {
    Query query(log, "SELECT count(*) FROM piece");
    REQUIRE(query.next());
    return query.integer(0);
}

// What a killed one left half made, in a folder.
std::size_t half_made_in(const fs::path& folder) {
    std::size_t many = 0;
    for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
        many += entry.path().filename().string().find(".new-") != std::string::npos ? 1U : 0U;
    }
    return many;
}

struct Tally {
    int kills = 0, as_before = 0, as_after = 0;
    std::size_t left = 0;  // half-made files, before the next start
};

void kill_joins(int rounds, std::mt19937& random, Tally& tally) {
    const TemporaryFolder folder;
    IdSource ids(random()), their_ids(random());
    const fs::path file = folder / "log.tonebath";
    const fs::path start = folder / "start.tonebath";
    const fs::path other = folder / "other.tonebath";
    {
        const auto log = opened(start);
        add_pieces(*log, ids, "L-", 20);
        const auto theirs = opened(other);
        theirs->set_setting(kBenchMark, "T");
        add_pieces(*theirs, their_ids, "L-", kPieces);
    }
    const auto joins = [&] {
        const auto log = opened(file, OpenMode::read_write);
        const auto theirs = OtherLog::open(other);
        IdSource own(7);
        static_cast<void>(join(*log, **theirs, {}, kMorning, "", own));
    };
    fs::copy_file(start, file);
    const Micros length = length_of(joins);
    for (int round = 0; round < rounds; ++round) {
        CAPTURE(round);
        for (const char* ending : {"", "-wal", "-shm"}) {
            fs::remove(file.string() + ending);
        }
        fs::copy_file(start, file);
        tally.kills += killed_after(within(length, random), joins) ? 1 : 0;
        const auto log = opened(file, OpenMode::read_write);
        REQUIRE(log->faults().empty());
        const std::int64_t found = pieces_in(*log);
        CHECK((found == 20 || found == 20 + kPieces));
        // The change log tells the same: its own change alone, or with the join and the other's.
        CHECK(changes(*log, 10).size() == (found == 20 ? 1U : 3U));
        ++(found == 20 ? tally.as_before : tally.as_after);
        const auto theirs = OtherLog::open(other);
        IdSource own(8);
        REQUIRE(join(*log, **theirs, {}, kMorning, "", own));
        CHECK(pieces_in(*log) == 20 + kPieces);
    }
}

void kill_backups(int rounds, std::mt19937& random, Tally& tally) {
    const TemporaryFolder folder;
    IdSource ids(random());
    auto& left = tally.left;
    const fs::path file = folder / "log.tonebath";
    {
        const auto log = opened(file);
        add_pieces(*log, ids, "L-", kPieces);
        static_cast<void>(make_backup(*log, kMorning));
    }
    int minute = 0;
    const auto backs_up = [&] { static_cast<void>(make_backup(*opened(file, OpenMode::read_write), plus_seconds(kMorning, 60.0 * minute))); };
    ++minute;
    const Micros length = length_of(backs_up);
    for (int round = 0; round < rounds; ++round) {
        CAPTURE(round);
        ++minute;
        tally.kills += killed_after(within(length, random), backs_up) ? 1 : 0;
        left += half_made_in(folder / "backups");
        const auto log = opened(file, OpenMode::read_write);  // a start sweeps
        CHECK(half_made_in(folder / "backups") == 0);
        CHECK(pieces_in(*log) == kPieces);
        // Whatever carries the name of a backup is a whole one.
        const std::vector<fs::path> all = backups(file);
        REQUIRE_FALSE(all.empty());
        for (const fs::path& copy : all) {
            const auto contents = restore_check(copy);
            REQUIRE(contents);
            CHECK(contents->pieces == kPieces);
        }
        const bool there = all.front().filename() == backup_name(file, plus_seconds(kMorning, 60.0 * minute));
        ++(there ? tally.as_after : tally.as_before);
    }
}

void kill_restores(int rounds, std::mt19937& random, Tally& tally) {
    const TemporaryFolder folder;
    IdSource ids(random());
    auto& left = tally.left;
    const fs::path file = folder / "log.tonebath";
    fs::path copy;
    {
        const auto log = opened(file);
        add_pieces(*log, ids, "L-", 20);
        copy = make_backup(*log, kMorning);
    }
    const auto restores = [&] { static_cast<void>(restore(file, copy)); };
    const Micros length = length_of(restores);
    std::int64_t pieces = 20;
    for (int round = 0; round < rounds; ++round) {
        CAPTURE(round);
        {
            const auto log = opened(file, OpenMode::read_write);
            add_pieces(*log, ids, "R" + std::to_string(round) + "-", 30);
            pieces = pieces_in(*log);
        }
        tally.kills += killed_after(within(length, random), restores) ? 1 : 0;
        left += half_made_in(folder.path());
        const auto log = opened(file, OpenMode::read_write);
        CHECK(half_made_in(folder.path()) == 0);
        REQUIRE(log->faults().empty());
        const std::int64_t found = pieces_in(*log);
        CHECK((found == pieces || found == 20));
        ++(found == 20 ? tally.as_after : tally.as_before);
    }
    CHECK(restore_check(copy)->pieces == 20);
}

void kill_all(int rounds) {
    const std::uint32_t seed = std::random_device()();
    CAPTURE(seed);
    std::mt19937 random(seed);
    Tally joins, backups_made, restores;
    kill_joins(rounds, random, joins);
    kill_backups(rounds, random, backups_made);
    kill_restores(rounds, random, restores);
    for (const auto& [what, tally] : {std::pair{"joins", joins}, {"backups", backups_made}, {"restores", restores}}) {
        WARN(what << ": " << tally.kills << " of " << rounds << " killed under way; " << tally.as_before << " as before, " << tally.as_after << " as after, " << tally.left << " half-made files swept");
        CHECK(tally.as_before + tally.as_after == rounds);
    }
}

}  // namespace

TEST_CASE("killed in the middle of a join, a backup, a restore, five times each: as before or as after") { kill_all(5); }

TEST_CASE("killed in the middle of a join, a backup, a restore, a hundred times each", "[.long]") { kill_all(100); }

TEST_CASE("what a killed process left half made goes at the next start and backup; what is being made now, or is no such file, stays") {
    const TemporaryFolder folder;
    const pid_t gone = fork();
    REQUIRE(gone >= 0);
    if (gone == 0) {
        _exit(0);
    }
    REQUIRE(waitpid(gone, nullptr, 0) == gone);
    const auto log = opened(folder / "log.tonebath");
    const fs::path kept = make_backup(*log, kMorning);
    const std::string dead = std::to_string(gone), alive = std::to_string(getppid());
    const auto all = [&](const std::vector<std::string>& names) {
        return std::count_if(names.begin(), names.end(), [&](const std::string& name) { return fs::exists(folder / name); });
    };
    const std::vector<std::string> goes{"log.tonebath.new-" + dead, "log.tonebath.new-" + dead + "-wal", "backups/log-2026-03-31T0943.tonebath.new-" + dead,
                                        "backups/log-2026-03-31T0943.tonebath.new-" + dead + "-journal"};
    const std::vector<std::string> stays{"log.tonebath.new-" + alive, "other.tonebath.new-" + dead, "log.tonebath.new-" + dead + ".txt", "log.tonebath.new-",
                                         "backups/log-2026-03-31T0943.tonebath.new-" + alive, "backups/other-2026-03-31T0943.tonebath.new-" + dead};
    const auto put = [&] {
        for (const auto& names : {goes, stays}) {
            for (const std::string& name : names) {
                std::ofstream(folder / name) << "half";
            }
        }
    };
    put();
    static_cast<void>(make_backup(*log, plus_seconds(kMorning, 60.0)));
    CHECK(all(goes) == 2);  // of backups
    CHECK(all(stays) == std::ssize(stays));
    put();
    static_cast<void>(opened(folder / "log.tonebath", OpenMode::read_only));
    CHECK(all(goes) == std::ssize(goes));
    static_cast<void>(opened(folder / "log.tonebath", OpenMode::read_write));
    CHECK(all(goes) == 0);
    CHECK(all(stays) == std::ssize(stays));
    CHECK(fs::exists(kept));
}

TEST_CASE("a copy of another bench's log that a killed join left among the temporary files goes with the next join") {
    const TemporaryFolder folder;
    static_cast<void>(opened(folder / "other.tonebath"));
    fs::create_directory(folder / "temporary");
    const char* before = std::getenv("TMPDIR");
    const std::string was = before == nullptr ? "" : before;
    setenv("TMPDIR", (folder / "temporary").c_str(), 1);
    const auto count = [&] { return std::distance(fs::directory_iterator(folder / "temporary"), fs::directory_iterator()); };
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        const auto theirs = OtherLog::open(folder / "other.tonebath");
        _exit(theirs ? 0 : 1);  // the folder is not tidied away
    }
    int status = 1;
    REQUIRE(waitpid(child, &status, 0) == child);
    REQUIRE(status == 0);
    CHECK(count() == 1);
    {
        const auto theirs = OtherLog::open(folder / "other.tonebath");
        REQUIRE(theirs);
        CHECK(count() == 1);  // its own
    }
    CHECK(count() == 0);
    before == nullptr ? unsetenv("TMPDIR") : setenv("TMPDIR", was.c_str(), 1);
}

TEST_CASE("a rehearsal says what differs and why, and leaves nothing behind") {
    const TemporaryFolder folder;
    IdSource ids(31);
    const auto log = opened(folder / "log.tonebath");
    add_pieces(*log, ids, "L-", 20);
    const fs::path copy = make_backup(*log, kMorning);
    const auto at_once = rehearse_restore(*log, copy);
    REQUIRE(at_once);
    CHECK(at_once->sound());
    CHECK(at_once->changes_since == 0);
    add_pieces(*log, ids, "M-", 5);
    Piece changed = list<Piece>(*log, "WHERE number = 'L-3'").front();
    changed.note = "brushed";
    in_change(*log, ids, "correct", [&] { update(*log, changed); });
    const auto later = rehearse_restore(*log, copy);
    REQUIRE(later);
    CHECK(later->sound());
    CHECK(later->changes_since == 2);
    for (const RehearsedTable& table : later->tables) {
        if (table.table == "piece") {
            CHECK(table.in_backup == 20);
            CHECK(table.in_log == 25);
            CHECK(table.equal == 19);
            CHECK(table.later == 6);
        }
    }
    // A row that was changed past the change log is found.
    run(*log, "UPDATE piece SET note = 'by another program' WHERE number = 'L-4'");
    const auto tampered = rehearse_restore(*log, copy);
    REQUIRE(tampered);
    CHECK_FALSE(tampered->sound());
    CHECK(rehearse_restore(*log, folder / "none.tonebath").error().code == "log.missing");
}

}  // namespace tonebath::store
