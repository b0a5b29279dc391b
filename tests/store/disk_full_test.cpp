#include "store/backup.hpp"
#include "store/join.hpp"
#include "store/rehearsal.hpp"
#include "store/test_log.hpp"

#include "base/files.hpp"
#include "store/migrate.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <sys/mount.h>
#include <catch2/catch.hpp>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <functional>

namespace tonebath::store {
namespace {

// A file system of its own, 4 MB large, where the system allows it.
class SmallDisk {
public:
    explicit SmallDisk(const std::filesystem::path& at) : at_(at) {
        std::filesystem::create_directory(at_);
        mounted_ = mount("tonebath-test", at_.c_str(), "tmpfs", 0, "size=4m") == 0;
        if (!mounted_) {
            WARN("skipped: no file system could be mounted here (" << std::strerror(errno) << ")");
        }
    }
    ~SmallDisk() {
        if (mounted_) {
            umount2(at_.c_str(), MNT_DETACH);
        }
    }
    SmallDisk(const SmallDisk&) = delete;
    SmallDisk& operator=(const SmallDisk&) = delete;
    [[nodiscard]] bool mounted() const { return mounted_; }
    [[nodiscard]] bool make_read_only() const {
        return mount("tonebath-test", at_.c_str(), "tmpfs", MS_REMOUNT | MS_RDONLY, nullptr) == 0;
    }

private:
    std::filesystem::path at_;
    bool mounted_ = false;
};

TEST_CASE("a full disk loses nothing that was confirmed, says so, and writing goes on when there is room") {
    const TemporaryFolder folder;
    const SmallDisk disk(folder / "disk");
    if (!disk.mounted()) {
        return;
    }
    IdSource ids(1);
    std::vector<Id<Vessel>> confirmed;
    const std::filesystem::path filler = folder / "disk/filler";
    std::ofstream(filler) << std::string(300'000, 'f');
    {
        const std::unique_ptr<Log> log = opened(folder / "disk/log.tonebath");
        bool full = false;
        for (int i = 0; i < 1000 && !full; ++i) {
            Vessel vessel = vessel_named(ids, "V" + std::to_string(i));
            vessel.note = std::string(2'000, 'n');
            try {
                in_change(*log, ids, "add", [&] { insert(*log, vessel); });
                confirmed.push_back(vessel.id);
            } catch (const StoreError& error) {
                full = true;
                CHECK(error.kind() == StoreError::Kind::disk_full);
                CHECK(std::string(error.what()).find("disk is full") != std::string::npos);
                CHECK_FALSE(find(*log, vessel.id).has_value());
            }
        }
        REQUIRE(full);
        CHECK(confirmed.size() > 20);
        CHECK_FALSE(log->writing());
        CHECK_THROWS_AS(make_backup(*log, kMorning), StoreError);
        CHECK(backups(log->file()).empty());
        CHECK(log->faults().empty());
        std::filesystem::remove(filler);
        in_change(*log, ids, "add", [&] { insert(*log, vessel_named(ids, "after")); });
    }
    const std::unique_ptr<Log> log = opened(folder / "disk/log.tonebath");
    for (const Id<Vessel>& id : confirmed) {
        CHECK(find(*log, id).has_value());
    }
    CHECK(list<Vessel>(*log).size() == confirmed.size() + 1);
    CHECK(log->faults().empty());
}

TEST_CASE("joining, backing up, rehearsing and restoring on a full disk: said, nothing lost, done when there is room") {
    const TemporaryFolder folder;
    const SmallDisk disk(folder / "disk");
    if (!disk.mounted()) {
        return;
    }
    IdSource ids(3), their_ids(4);
    const std::filesystem::path other = folder / "other.tonebath";
    const std::filesystem::path file = folder / "disk/log.tonebath";
    {
        const std::unique_ptr<Log> theirs = opened(other);
        in_change(*theirs, their_ids, "add", [&] {
            for (int i = 0; i < 60; ++i) {
                Vessel vessel = vessel_named(their_ids, "T" + std::to_string(i));
                vessel.note = std::string(1'000, 'n');
                insert(*theirs, vessel);
            }
        });
    }
    const std::unique_ptr<Log> log = opened(file);
    in_change(*log, ids, "add", [&] { insert(*log, vessel_named(ids, "V1")); });
    const std::filesystem::path good = make_backup(*log, kMorning);
    const std::filesystem::path filler = folder / "disk/filler";
    std::ofstream(filler) << std::string(4'000'000, 'f');  // as much of it as there is room for
    const auto full = [](const std::function<void()>& work) {
        try {
            work();
        } catch (const StoreError& error) {
            CHECK(std::string(error.what()).find("room") != std::string::npos);
            return error.kind() == StoreError::Kind::disk_full;
        }
        return false;
    };
    const auto theirs = OtherLog::open(other);
    REQUIRE(theirs);
    CHECK(full([&] { static_cast<void>(join(*log, **theirs, {}, kMorning, "", ids)); }));
    CHECK(list<Vessel>(*log).size() == 1);
    CHECK_FALSE(log->writing());
    CHECK(full([&] { static_cast<void>(make_backup(*log, plus_seconds(kMorning, 60.0))); }));
    CHECK(backups(file) == std::vector<std::filesystem::path>{good});
    {
        // The copy aside, and what is put in place aside, are on the full disk too.
        const char* before = std::getenv("TMPDIR");
        const std::string kept = before == nullptr ? "" : before;
        setenv("TMPDIR", (folder / "disk").c_str(), 1);
        CHECK(full([&] { static_cast<void>(rehearse_restore(*log, good)); }));
        CHECK(full([&] { static_cast<void>(OtherLog::open(other)); }));
        before == nullptr ? unsetenv("TMPDIR") : setenv("TMPDIR", kept.c_str(), 1);
    }
    CHECK(log->faults().empty());
    std::filesystem::remove(filler);
    REQUIRE(join(*log, **theirs, {}, kMorning, "", ids));
    CHECK(list<Vessel>(*log).size() == 61);
    CHECK(rehearse_restore(*log, good)->sound());
}

TEST_CASE("restoring on a full disk leaves the log as it was, and goes on when there is room") {
    const TemporaryFolder folder;
    const SmallDisk disk(folder / "disk");
    if (!disk.mounted()) {
        return;
    }
    IdSource ids(5);
    const std::filesystem::path file = folder / "disk/log.tonebath";
    std::filesystem::path copy;
    {
        const std::unique_ptr<Log> log = opened(file);
        in_change(*log, ids, "add", [&] { insert(*log, vessel_named(ids, "V1")); });
        copy = make_backup(*log, kMorning);
        in_change(*log, ids, "add", [&] { insert(*log, vessel_named(ids, "V2")); });
    }
    const std::filesystem::path filler = folder / "disk/filler";
    std::ofstream(filler) << std::string(4'000'000, 'f');
    CHECK_THROWS_AS(restore(file, copy), StoreError);
    CHECK(std::distance(std::filesystem::directory_iterator(folder / "disk"), std::filesystem::directory_iterator()) <= 5);
    std::filesystem::remove(filler);
    CHECK(list<Vessel>(*opened(file)).size() == 2);  // as it was; to open it takes a little room
    REQUIRE(restore(file, copy));
    CHECK(list<Vessel>(*opened(file)).size() == 1);
}

TEST_CASE("a new log on a full disk is not half made, and an older one stays as it is, byte for byte, until there is room to bring it up to date") {
    const TemporaryFolder folder;
    const SmallDisk disk(folder / "disk");
    if (!disk.mounted()) {
        return;
    }
    const std::filesystem::path older = folder / "disk/older.tonebath", fresh = folder / "disk/fresh.tonebath";
    {
        SQLite::Database database(older.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        upgrade(database, migrations().first(1));
        database.exec("INSERT INTO metal VALUES ('018f0000-0000-7000-8000-000000000001', 'sterling', 'silver', '', '', '', 0, 0)");
    }
    const std::string bytes = read_file(older);
    const std::filesystem::path filler = folder / "disk/filler";
    std::ofstream(filler) << std::string(4'000'000, 'f');
    for (const std::filesystem::path& file : {older, fresh}) {
        CAPTURE(file.string());
        try {
            static_cast<void>(Log::open(file, OpenMode::create));
            FAIL("there was room");
        } catch (const StoreError& error) {
            CHECK(error.kind() == StoreError::Kind::disk_full);
            CHECK(std::string(error.what()).find("room") != std::string::npos);
        }
    }
    CHECK_FALSE(std::filesystem::exists(fresh));
    CHECK(read_file(older) == bytes);
    std::filesystem::remove(filler);
    CHECK(list<Metal>(*opened(older)).size() == 1);
    CHECK(opened(fresh)->opening().created);
    CHECK(std::filesystem::exists(folder / "disk/backups/older-before-form-2.tonebath"));
}

TEST_CASE("a log on a disk that can only be read opens for reading and is refused for writing") {
    const TemporaryFolder folder;
    const SmallDisk disk(folder / "disk");
    if (!disk.mounted()) {
        return;
    }
    const std::filesystem::path file = folder / "disk/log.tonebath";
    {
        IdSource ids(2);
        const std::unique_ptr<Log> log = opened(file);
        in_change(*log, ids, "add", [&] { insert(*log, vessel_named(ids, "V1")); });
    }
    REQUIRE(disk.make_read_only());
    CHECK(list<Vessel>(*opened(file, OpenMode::read_only)).size() == 1);
    const Result<std::unique_ptr<Log>> writing = Log::open(file, OpenMode::read_write);
    REQUIRE_FALSE(writing.has_value());
    CHECK(writing.error().code == "log.unwritable");
    const Result<std::unique_ptr<Log>> making = Log::open(folder / "disk/new/log.tonebath", OpenMode::create);
    REQUIRE_FALSE(making.has_value());
    CHECK(making.error().code == "log.unwritable");
}

}  // namespace
}  // namespace tonebath::store
