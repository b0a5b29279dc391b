#include "store/test_log.hpp"

#include <catch2/catch.hpp>

namespace tonebath::store {
namespace {

TEST_CASE("a record written in a change is there when the log is opened again, and not when the change was left") {
    const TemporaryFolder folder;
    IdSource ids(1);
    const Vessel kept = vessel_named(ids, "V1");
    const Vessel left = vessel_named(ids, "V2");
    {
        const std::unique_ptr<Log> log = opened(folder / "log.tonebath");
        CHECK(log->opening().created);
        CHECK_FALSE(in_change(*log, ids, "add vessel", [&] { insert(*log, kept); }).empty());
        {
            Change change(*log, "add vessel", kMorning, "", ids);
            insert(*log, left);
        }
    }
    const std::unique_ptr<Log> log = opened(folder / "log.tonebath", OpenMode::read_write);
    CHECK_FALSE(log->opening().created);
    REQUIRE(find(*log, kept.id).has_value());
    CHECK(find(*log, kept.id)->number == "V1");
    CHECK_FALSE(find(*log, left.id).has_value());
    CHECK(log->faults().empty());
}

}  // namespace
}  // namespace tonebath::store
