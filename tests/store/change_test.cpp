#include "store/test_log.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
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

TEST_CASE("a change keeps who, when and what stood before and after in each record") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(2);
    Vessel vessel = vessel_named(ids, "V1");
    vessel.volume = Millilitres::from_ml(400.0);
    const std::string added = in_change(*log, ids, "add vessel V1", [&] { insert(*log, vessel); });
    const Stamp later = plus_seconds(kMorning, 60.0);
    std::string corrected;
    {
        vessel.volume = Millilitres::from_ml(250.0);
        vessel.note = "chip \"small\", großer Rand";
        Change change(*log, "correct vessel V1", later, "person-1", ids);
        update(*log, vessel);
        corrected = change.commit();
    }
    const std::vector<ChangeEntry> all = changes(*log, 10);
    REQUIRE(all.size() == 2);
    CHECK(all[0].id == corrected);
    CHECK(all[0].at == later);
    CHECK(all[0].at.offset_min == 60);
    CHECK(all[0].who_id == "person-1");
    CHECK(all[0].step == "correct vessel V1");
    REQUIRE(all[0].rows.size() == 1);
    CHECK(all[0].rows[0].table == "vessel");
    CHECK(all[0].rows[0].record_id == vessel.id.text);
    CHECK(all[0].rows[0].kind == "update");
    CHECK(all[0].rows[0].before_json == R"({"volume_ml":400.0,"note":""})");
    CHECK(all[0].rows[0].after_json == R"({"volume_ml":250.0,"note":"chip \"small\", großer Rand"})");
    CHECK(all[1].id == added);
    REQUIRE(all[1].rows.size() == 1);
    CHECK(all[1].rows[0].kind == "insert");
    CHECK(all[1].rows[0].before_json == "{}");
    CHECK(all[1].rows[0].after_json.find(R"("number":"V1")") != std::string::npos);
    CHECK(all[1].rows[0].after_json.find("cooling_per_min") == std::string::npos);  // unknown
}

TEST_CASE("changes of one record leave out the others, newest first, at most as many as asked") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(3);
    Vessel first = vessel_named(ids, "V1");
    in_change(*log, ids, "add V1", [&] { insert(*log, first); });
    in_change(*log, ids, "add V2", [&] { insert(*log, vessel_named(ids, "V2")); });
    first.covered = true;
    in_change(*log, ids, "cover V1", [&] { update(*log, first); });
    const std::vector<ChangeEntry> of_first = changes(*log, 10, first.id.text);
    REQUIRE(of_first.size() == 2);
    CHECK(of_first[0].step == "cover V1");
    CHECK(of_first[1].step == "add V1");
    CHECK(changes(*log, 1).size() == 1);
}

TEST_CASE("nothing is logged when nothing was changed") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(4);
    const Vessel vessel = vessel_named(ids, "V1");
    in_change(*log, ids, "add V1", [&] { insert(*log, vessel); });
    CHECK(in_change(*log, ids, "look", [] {}).empty());
    CHECK(in_change(*log, ids, "write the same", [&] { update(*log, vessel); }).empty());
    CHECK(changes(*log, 10).size() == 1);
}

TEST_CASE("a record that comes and goes within one change leaves no row, a changed one leaves one") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(5);
    const Vessel passing = vessel_named(ids, "V1");
    Vessel staying = vessel_named(ids, "V2");
    in_change(*log, ids, "two", [&] {
        insert(*log, passing);
        insert(*log, staying);
        staying.number = "V3";
        update(*log, staying);
        remove(*log, passing.id);
    });
    const std::vector<ChangeEntry> all = changes(*log, 10);
    REQUIRE(all.size() == 1);
    REQUIRE(all[0].rows.size() == 1);
    CHECK(all[0].rows[0].kind == "insert");
    CHECK(all[0].rows[0].after_json.find(R"("number":"V3")") != std::string::npos);
}

TEST_CASE("the change log cannot be shortened or rewritten, and kept records cannot be removed") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(6);
    Press press;
    press.id = ids.next<Press>(kMorning);
    press.act = "drop";
    press.at = press.made_at = kMorning;
    in_change(*log, ids, "press", [&] { insert(*log, press); });
    for (const char* sql : {"DELETE FROM change", "DELETE FROM change_row", "UPDATE change SET step = 'x'",
                            "UPDATE change_row SET before_json = '{}'", "DELETE FROM press"}) {
        CAPTURE(sql);
        CHECK_THROWS_AS(log->database().exec(sql), SQLite::Exception);
    }
    Change change(*log, "remove", kMorning, "", ids);
    CHECK_THROWS_AS(remove(*log, press.id), StoreError);
}

TEST_CASE("settings are kept, overwritten and not part of the change log") {
    const std::unique_ptr<Log> log = Log::in_memory();
    CHECK_FALSE(log->setting("studio").has_value());
    log->set_setting("studio", "Limpet");
    log->set_setting("studio", "Limpet lids");
    CHECK(log->setting("studio") == "Limpet lids");
    CHECK(changes(*log, 10).empty());
}

TEST_CASE("the generation rises with each commit and only then") {
    const TemporaryFolder folder;
    const std::unique_ptr<Log> mine = opened(folder / "log.tonebath");
    const std::unique_ptr<Log> other = opened(folder / "log.tonebath");
    IdSource ids(7);
    std::int64_t seen = mine->generation();
    CHECK(mine->generation() == seen);
    in_change(*mine, ids, "mine", [&] { insert(*mine, vessel_named(ids, "V1")); });
    CHECK(mine->generation() > seen);
    seen = mine->generation();
    in_change(*other, ids, "other", [&] { insert(*other, vessel_named(ids, "V2")); });
    CHECK(mine->generation() > seen);
    seen = mine->generation();
    {
        Change left(*mine, "left", kMorning, "", ids);
        insert(*mine, vessel_named(ids, "V3"));
    }
    CHECK(mine->generation() == seen);
}

}  // namespace
}  // namespace tonebath::store
