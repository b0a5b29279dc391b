#include "store/opening.hpp"
#include "base/files.hpp"
#include "store/backup.hpp"
#include "store/migrate.hpp"
#include "store/record.hpp"
#include "store/scan.hpp"
#include "store/test_log.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <catch2/catch.hpp>
#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <random>
#include <set>
#include <thread>

namespace tonebath::store {
namespace {

namespace fs = std::filesystem;

void write_bytes(const fs::path& file, const std::string& bytes) {
    std::ofstream(file, std::ios::binary) << bytes;
}

std::set<std::string> names_in(const fs::path& folder) {
    std::set<std::string> names;
    for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
        names.insert(entry.path().filename().string());
    }
    return names;
}

// A log with enough in it to fill many pages.
void make_log(const fs::path& file) {
    IdSource ids(1);
    const std::unique_ptr<Log> log = opened(file);
    in_change(*log, ids, "vessels", [&] {
        for (int i = 0; i < 400; ++i) {
            Vessel vessel = vessel_named(ids, "V" + std::to_string(i));
            vessel.note = std::string(300, 'n');
            insert(*log, vessel);
        }
    });
}

// The refusal's code; the file and its folder must be as they were.
Refusal refusal_of(const fs::path& file, OpenMode mode) {
    const std::string before = read_file(file);
    const std::set<std::string> beside = names_in(file.parent_path());
    const Result<std::unique_ptr<Log>> opened_log = Log::open(file, mode);
    REQUIRE_FALSE(opened_log.has_value());
    CHECK(read_file(file) == before);
    CHECK(names_in(file.parent_path()) == beside);
    CHECK(opened_log.error().value == file.string());
    CHECK_FALSE(opened_log.error().message.empty());
    CHECK_FALSE(opened_log.error().remedy.empty());
    return opened_log.error();
}

TEST_CASE("an open log is kept the way it must be: WAL, full sync, foreign keys, our mark") {
    const TemporaryFolder folder;
    const std::unique_ptr<Log> log = opened(folder / "new/place/log.tonebath");
    SQLite::Database& database = log->database();
    CHECK(database.execAndGet("PRAGMA journal_mode").getString() == "wal");
    CHECK(database.execAndGet("PRAGMA synchronous").getInt() == 2);
    CHECK(database.execAndGet("PRAGMA foreign_keys").getInt() == 1);
    CHECK(database.execAndGet("PRAGMA application_id").getInt() == kApplicationId);
    CHECK(database.execAndGet("PRAGMA user_version").getInt() == schema_version());
    CHECK(database.execAndGet("PRAGMA busy_timeout").getInt() == 5000);
    CHECK(log->opening().created);
    CHECK(read_header(folder / "new/place/log.tonebath").application_id == kApplicationId);
    CHECK(names_in(folder / "new/place").count("log.tonebath") == 1);
}

TEST_CASE("files that are no log are refused and left as they are") {
    const TemporaryFolder folder;
    const fs::path file = folder / "log.tonebath";
    const OpenMode mode = GENERATE(OpenMode::read_only, OpenMode::read_write, OpenMode::create);
    SECTION("a text file") {
        write_bytes(file, "lot,opened\nLS-1,2026-03-01\n" + std::string(500, ' '));
        CHECK(refusal_of(file, mode).code == "log.not_ours");
    }
    SECTION("an empty file") {
        write_bytes(file, "");
        CHECK(refusal_of(file, mode).code == "log.not_ours");
    }
    SECTION("another program's database") {
        {
            SQLite::Database other(file.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
            other.exec("PRAGMA journal_mode = WAL; CREATE TABLE lot (id TEXT); PRAGMA application_id = 7");
        }
        CHECK(refusal_of(file, mode).code == "log.not_ours");
    }
    SECTION("random bytes") {
        std::mt19937 random(11);
        std::string bytes;
        for (int i = 0; i < 5000; ++i) {
            bytes += static_cast<char>(random() & 0xFF);
        }
        write_bytes(file, bytes);
        CHECK(refusal_of(file, mode).code == "log.not_ours");
    }
    SECTION("a log of a newer version") {
        make_log(file);
        {
            SQLite::Database newer(file.string(), SQLite::OPEN_READWRITE);
            newer.exec("PRAGMA user_version = " + std::to_string(schema_version() + 1));
        }
        CHECK(refusal_of(file, mode).code == "log.newer");
    }
}

TEST_CASE("a folder is no log") {
    const TemporaryFolder folder;
    fs::create_directory(folder / "log.tonebath");
    const Result<std::unique_ptr<Log>> opened_log = Log::open(folder / "log.tonebath", OpenMode::create);
    REQUIRE_FALSE(opened_log.has_value());
    CHECK(opened_log.error().code == "log.not_ours");
}

TEST_CASE("a log that is not there is missing, not made, unless it is asked for") {
    const TemporaryFolder folder;
    for (const OpenMode mode : {OpenMode::read_only, OpenMode::read_write}) {
        const Result<std::unique_ptr<Log>> opened_log = Log::open(folder / "log.tonebath", mode);
        REQUIRE_FALSE(opened_log.has_value());
        CHECK(opened_log.error().code == "log.missing");
    }
    CHECK(names_in(folder.path()).empty());
}

TEST_CASE("a damaged log is refused and the newest good backup named") {
    const TemporaryFolder folder;
    const fs::path file = folder / "log.tonebath";
    make_log(file);
    fs::path good;
    fs::path spoiled;
    {
        const std::unique_ptr<Log> log = opened(file);
        good = make_backup(*log, kMorning);
        spoiled = make_backup(*log, plus_seconds(kMorning, 3600.0));
    }
    fs::resize_file(spoiled, 6000);
    const OpenMode mode = GENERATE(OpenMode::read_only, OpenMode::read_write);
    const std::string whole = read_file(file);
    SECTION("cut short") {
        write_bytes(file, whole.substr(0, whole.size() / 2));
    }
    SECTION("a page overwritten") {
        std::string bytes = whole;
        for (std::size_t page = 3; page < 40; ++page) {
            bytes.replace(page * 4096, 200, std::string(200, '\x5A'));
        }
        write_bytes(file, bytes);
    }
    SECTION("emptied") {
        write_bytes(file, "");
    }
    SECTION("overwritten from the start") {
        write_bytes(file, std::string(20000, 'x'));
    }
    const Refusal refusal = refusal_of(file, mode);
    CHECK(refusal.code == "log.damaged");
    CHECK(refusal.remedy.find(good.string()) != std::string::npos);
    CHECK(refusal.remedy.find(spoiled.string()) == std::string::npos);

    const Result<std::optional<fs::path>> kept = restore(file, good);
    REQUIRE(kept.has_value());
    CHECK(fs::exists(**kept));
    CHECK(list<Vessel>(*opened(file)).size() == 400);
}

TEST_CASE("a long log is opened for reading unchecked: damage is told by whoever reads there, and by each opening for writing") {
    const TemporaryFolder folder;
    const fs::path file = folder / "log.tonebath";
    make_log(file);
    {
        SQLite::Database database(file.string(), SQLite::OPEN_READWRITE);
        database.exec("CREATE TABLE filler (x BLOB); INSERT INTO filler VALUES (zeroblob(70000000)); PRAGMA wal_checkpoint(TRUNCATE)");
    }
    std::string bytes = read_file(file);
    // The pages of the vessels: those of many notes.
    const std::string note(300, 'n');
    std::size_t spoiled = 0;
    for (std::size_t page = 4096; page + 4096 <= bytes.size() && page < (4U << 20U); page += 4096) {
        if (std::string_view(bytes).substr(page, 4096).find(note) != std::string_view::npos) {
            bytes.replace(page, 200, std::string(200, '\x5A'));
            ++spoiled;
        }
    }
    REQUIRE(spoiled > 10);
    write_bytes(file, bytes);
    CHECK(refusal_of(file, OpenMode::read_write).code == "log.damaged");
    const std::unique_ptr<Log> log = opened(file, OpenMode::read_only);
    CHECK(log->setting("no such").has_value() == false);
    try {
        static_cast<void>(list<Vessel>(*log));
        FAIL("a damaged table was read");
    } catch (const StoreError& told) {
        CHECK(told.kind() == StoreError::Kind::damaged);
    }
    const auto scanned = [&] {
        Scan row(*log, "SELECT note FROM vessel");
        while (row.next()) {
        }
    };
    CHECK_THROWS_AS(scanned(), StoreError);
}

TEST_CASE("a long table scanned says what a query says, unknowns too") {
    const TemporaryFolder folder;
    make_log(folder / "log.tonebath");
    const std::unique_ptr<Log> log = opened(folder / "log.tonebath");
    Query asked(*log, "SELECT number, volume_ml, made_utc_ms FROM vessel ORDER BY id");
    Scan row(*log, "SELECT number, volume_ml, made_utc_ms FROM vessel ORDER BY id");
    int rows = 0;
    while (asked.next()) {
        REQUIRE(row.next());
        CHECK(row.text(0) == asked.text(0));
        CHECK(row.unknown(1) == asked.unknown(1));
        CHECK(row.maybe_real(1) == asked.maybe_real(1));
        CHECK(row.integer(2) == asked.integer(2));
        ++rows;
    }
    CHECK(rows == 400);
    CHECK_FALSE(row.next());
    CHECK_THROWS_AS(Scan(*log, "SELECT nothing FROM vessel"), StoreError);
}

TEST_CASE("damage without any backup says so") {
    const TemporaryFolder folder;
    make_log(folder / "log.tonebath");
    fs::resize_file(folder / "log.tonebath", 20000);
    const Refusal refusal = refusal_of(folder / "log.tonebath", OpenMode::read_write);
    CHECK(refusal.code == "log.damaged");
    CHECK(refusal.remedy.find("no good backup") != std::string::npos);
}

TEST_CASE("a log of an older version is copied before it is brought up to date, and cannot be read unchanged") {
    const TemporaryFolder folder;
    const fs::path file = folder / "log.tonebath";
    {
        SQLite::Database old(file.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        old.exec("CREATE TABLE before_all (x TEXT); PRAGMA application_id = " + std::to_string(kApplicationId));
    }
    CHECK(refusal_of(file, OpenMode::read_only).code == "log.older");
    const std::unique_ptr<Log> log = opened(file, OpenMode::read_write);
    REQUIRE(log->opening().copy_before.has_value());
    CHECK(fs::exists(*log->opening().copy_before));
    SQLite::Database copy(log->opening().copy_before->string(), SQLite::OPEN_READONLY);
    CHECK(copy.tableExists("before_all"));
    CHECK_FALSE(copy.tableExists("bath"));
    CHECK(version_of(log->database()) == schema_version());
    CHECK(log->faults().empty());
}

TEST_CASE("reading goes on while another connection writes, and sees only what was committed") {
    const TemporaryFolder folder;
    IdSource ids(2);
    const std::unique_ptr<Log> writer = opened(folder / "log.tonebath");
    const std::unique_ptr<Log> reader = opened(folder / "log.tonebath", OpenMode::read_only);
    Change change(*writer, "add", kMorning, "", ids);
    insert(*writer, vessel_named(ids, "V1"));
    CHECK(list<Vessel>(*reader).empty());
    change.commit();
    CHECK(list<Vessel>(*reader).size() == 1);
}

// True when another process would find the log in use: SQLite's shared lock on the bytes that its file format reserves for
// it ("File Locking And Concurrency In SQLite", 510 bytes from 0x40000002).
bool in_use_for_others(const fs::path& log) {
    const pid_t child = fork();
    if (child == 0) {
        struct flock lock {};
        lock.l_type = F_WRLCK;
        lock.l_whence = SEEK_SET;
        lock.l_start = 0x40000002;
        lock.l_len = 510;
        const int file = open(log.c_str(), O_RDWR | O_CLOEXEC);
        _exit(file >= 0 && fcntl(file, F_GETLK, &lock) == 0 && lock.l_type == F_RDLCK ? 1 : 0);
    }
    int status = 0;
    waitpid(child, &status, 0);
    return WIFEXITED(status) && WEXITSTATUS(status) == 1;
}

TEST_CASE("opening a log again in this process leaves the locks of the first in place") {
    // Were they lost, a command ending beside the window would take the window's journal away, and its entries with it.
    const TemporaryFolder folder;
    IdSource ids(7);
    const fs::path file = folder / "log.tonebath";
    CHECK_FALSE(in_use_for_others(file));
    const std::unique_ptr<Log> window = opened(file);
    in_change(*window, ids, "add", [&] { insert(*window, vessel_named(ids, "V1")); });
    REQUIRE(in_use_for_others(file));
    opened(file, OpenMode::read_only).reset();
    CHECK(in_use_for_others(file));
    opened(file, OpenMode::read_write).reset();
    CHECK(in_use_for_others(file));
    static_cast<void>(make_backup(*window, kMorning));
    CHECK(in_use_for_others(file));
}

TEST_CASE("a snapshot stays at its moment") {
    const TemporaryFolder folder;
    IdSource ids(3);
    const std::unique_ptr<Log> writer = opened(folder / "log.tonebath");
    const std::unique_ptr<Log> reader = opened(folder / "log.tonebath", OpenMode::read_only);
    {
        const Snapshot one_moment(*reader);
        CHECK(list<Vessel>(*reader).empty());
        in_change(*writer, ids, "add", [&] { insert(*writer, vessel_named(ids, "V1")); });
        CHECK(list<Vessel>(*reader).empty());
    }
    CHECK(list<Vessel>(*reader).size() == 1);
}

TEST_CASE("a second writer waits for the first, and says so when it waited in vain") {
    const TemporaryFolder folder;
    IdSource ids(4);
    const std::unique_ptr<Log> first = opened(folder / "log.tonebath");
    {
        Change change(*first, "add", kMorning, "", ids);
        insert(*first, vessel_named(ids, "V1"));
        std::thread second([&folder] {
            IdSource other_ids(5);
            const std::unique_ptr<Log> log = opened(folder / "log.tonebath");
            in_change(*log, other_ids, "add", [&] { insert(*log, vessel_named(other_ids, "V2")); });
        });
        change.commit();
        second.join();
    }
    CHECK(list<Vessel>(*first).size() == 2);

    const std::unique_ptr<Log> second = opened(folder / "log.tonebath");
    second->database().setBusyTimeout(50);
    Change change(*first, "add", kMorning, "", ids);
    try {
        const Change in_vain(*second, "add", kMorning, "", ids);
        FAIL("two wrote at once");
    } catch (const StoreError& error) {
        CHECK(error.kind() == StoreError::Kind::busy);
        CHECK(std::string(error.what()).find("Another program") != std::string::npos);
    }
    CHECK_FALSE(second->writing());
}

TEST_CASE("a log opened for reading cannot be written") {
    const TemporaryFolder folder;
    IdSource ids(6);
    make_log(folder / "log.tonebath");
    const std::unique_ptr<Log> log = opened(folder / "log.tonebath", OpenMode::read_only);
    CHECK(log->read_only());
    try {
        const Change change(*log, "add", kMorning, "", ids);
        FAIL("it was taken");
    } catch (const StoreError& error) {
        CHECK(error.kind() == StoreError::Kind::read_only);
    }
    CHECK_THROWS_AS(log->set_setting("a", "b"), StoreError);
}

TEST_CASE("a name with blanks, signs and letters of other scripts is a name like any other") {
    const TemporaryFolder folder;
    const fs::path file = folder / "größe 銀 50% ?immutable=0#x/log.tonebath";
    make_log(file);
    const std::unique_ptr<Log> log = opened(file);
    const fs::path copy = make_backup(*log, kMorning);
    CHECK(restore_check(copy).has_value());
}

}  // namespace
}  // namespace tonebath::store
