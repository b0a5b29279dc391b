#include "store/backup.hpp"
#include "store/test_log.hpp"

#include <catch2/catch.hpp>

#include <fstream>

namespace tonebath::store {
namespace {

namespace fs = std::filesystem;

TEST_CASE("a backup is named after the log and the minute, holds what the log holds, and opens") {
    const TemporaryFolder folder;
    IdSource ids(1);
    const std::unique_ptr<Log> log = opened(folder / "log.tonebath");
    in_change(*log, ids, "add", [&] {
        insert(*log, bath_numbered(ids, "46"));
        insert(*log, piece_numbered(ids, "L-058"));
        insert(*log, piece_numbered(ids, "L-059"));
    });
    const fs::path copy = make_backup(*log, kMorning);
    CHECK(copy == folder / "backups/log-2026-03-31T0942.tonebath");
    const Result<BackupContents> contents = restore_check(copy);
    REQUIRE(contents.has_value());
    CHECK(contents->baths == 1);
    CHECK(contents->pieces == 2);
    CHECK(contents->dips == 0);
    CHECK(contents->last_change == kMorning);
    CHECK(contents->version == schema_version());

    in_change(*log, ids, "add", [&] { insert(*log, bath_numbered(ids, "47")); });
    CHECK(make_backup(*log, plus_seconds(kMorning, 20.0)) == copy);  // the same minute: the newer one stays
    CHECK(restore_check(copy)->baths == 2);
    CHECK(list<Bath>(*opened(copy, OpenMode::read_only)).size() == 2);
    CHECK(backups(log->file()).size() == 1);
}

TEST_CASE("the last ten dated backups are kept, and nothing else in the folder is touched") {
    const TemporaryFolder folder;
    const std::unique_ptr<Log> log = opened(folder / "log.tonebath");
    fs::create_directories(folder / "backups");
    for (const char* name : {"log-2020-01-01T0000.tonebath.txt", "other-2020-01-01T0000.tonebath",
                             "log-before-form-2.tonebath", "log-2020-01-01Tdddd.tonebath"}) {
        std::ofstream(folder / "backups" / name) << "kept";
    }
    std::vector<fs::path> made;
    for (int day = 0; day < 13; ++day) {
        made.push_back(make_backup(*log, plus_seconds(kMorning, 86400.0 * day)));
    }
    const std::vector<fs::path> left = backups(log->file());
    REQUIRE(left.size() == kBackupsKept);
    CHECK(left.front() == made.back());
    CHECK(left.back() == made[3]);
    CHECK(std::distance(fs::directory_iterator(folder / "backups"), fs::directory_iterator()) == 14);
}

TEST_CASE("a backup can be made while another program is in the middle of a change") {
    const TemporaryFolder folder;
    IdSource ids(2);
    const std::unique_ptr<Log> writer = opened(folder / "log.tonebath");
    const std::unique_ptr<Log> other = opened(folder / "log.tonebath");
    in_change(*writer, ids, "add", [&] { insert(*writer, bath_numbered(ids, "46")); });
    Change change(*writer, "add", kMorning, "", ids);
    insert(*writer, bath_numbered(ids, "47"));
    CHECK(restore_check(make_backup(*other, kMorning))->baths == 1);
}

TEST_CASE("what is no backup is refused") {
    const TemporaryFolder folder;
    CHECK(restore_check(folder / "none.tonebath").error().code == "log.missing");
    std::ofstream(folder / "text.tonebath") << std::string(300, 'x');
    CHECK(restore_check(folder / "text.tonebath").error().code == "log.not_ours");
    CHECK_FALSE(restore(folder / "log.tonebath", folder / "text.tonebath").has_value());
    CHECK_FALSE(fs::exists(folder / "log.tonebath"));
}

TEST_CASE("going back to a backup keeps what stood there, the unwritten part of it too") {
    const TemporaryFolder folder;
    IdSource ids(3);
    const fs::path file = folder / "log.tonebath";
    fs::path copy;
    {
        const std::unique_ptr<Log> log = opened(file);
        in_change(*log, ids, "add", [&] { insert(*log, bath_numbered(ids, "46")); });
        copy = make_backup(*log, kMorning);
        in_change(*log, ids, "add", [&] { insert(*log, bath_numbered(ids, "47")); });
        // As after a crash: the write-ahead file is still beside the log.
        fs::copy_file(file, folder / "held.tonebath");
        fs::copy_file(folder / "log.tonebath-wal", folder / "held.tonebath-wal");
    }
    fs::rename(folder / "held.tonebath", file);
    fs::rename(folder / "held.tonebath-wal", folder / "log.tonebath-wal");

    const Result<std::optional<fs::path>> kept = restore(file, copy);
    REQUIRE(kept.has_value());
    CHECK(**kept == folder / "log-set-aside-1.tonebath");
    CHECK(list<Bath>(*opened(file)).size() == 1);
    CHECK(list<Bath>(*opened(**kept)).size() == 2);
}

}  // namespace
}  // namespace tonebath::store
