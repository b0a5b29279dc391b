#include "store/backup.hpp"
#include "store/test_log.hpp"

#include <sys/mount.h>
#include <catch2/catch.hpp>

#include <cerrno>
#include <cstring>
#include <fstream>

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
