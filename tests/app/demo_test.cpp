// The demo studio as a whole: its volumes, that it is sound, and that it is the same each time.
#include "app/demo/demo.hpp"

#include "app/studio.hpp"
#include "app/views/today_view.hpp"
#include "base/files.hpp"
#include "demo_fixture.hpp"
#include "store/change.hpp"
#include "store/record.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>

namespace tonebath::demo_test {
namespace {

namespace fs = std::filesystem;
using store::Query;

constexpr const char* kMonth = "strftime('%Y-%m', {}_utc_ms / 1000 + {}_offset_min * 60, 'unixepoch')";

std::vector<std::int64_t> by_month(const std::string& rest, const std::string& stamp) {
    std::string month = kMonth;
    for (std::size_t at = month.find("{}"); at != std::string::npos; at = month.find("{}")) {
        month.replace(at, 2, stamp);
    }
    std::vector<std::int64_t> all;
    for (const std::string& one : texts(truth().at("months"))) {
        all.push_back(count(demo(), "SELECT count(*) FROM " + rest + " AND " + month + " = ?1", {one}));
    }
    return all;
}

std::vector<std::int64_t> volumes(const char* what) {
    return truth().at("volumes").at(what).get<std::vector<std::int64_t>>();
}

// Every row of every table as text, ids and change log included.
std::string dump(store::Log& log) {
    std::vector<std::string> tables;
    {
        Query names(
            log, "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'find_index%' ORDER BY name");
        while (names.next()) {
            tables.push_back(names.text(0));
        }
    }
    std::string text;
    for (const std::string& table : tables) {
        std::string columns;
        int many = 0;
        {
            Query info(log, "SELECT name FROM pragma_table_info('" + table + "') ORDER BY cid");
            while (info.next()) {
                columns += (many++ == 0 ? "" : " || '|' || ") + ("quote(\"" + info.text(0) + "\")");
            }
        }
        Query rows(log, "SELECT " + columns + " FROM \"" + table + "\" ORDER BY rowid");
        text += table + "\n";
        while (rows.next()) {
            text += rows.text(0) + "\n";
        }
    }
    return text;
}

struct Folder {
    fs::path path = fs::temp_directory_path() / ("tonebath-demo-" + std::to_string(::getpid()));
    Folder() {
        fs::remove_all(path);
        fs::create_directories(path);
    }
    ~Folder() { fs::remove_all(path); }
};

const fs::path kData = fs::path(TONEBATH_SOURCE_DIR) / "data";

}  // namespace

TEST_CASE("each month of the demo has its volumes", "[demo]") {
    CHECK(by_month("bath WHERE 1", "made_up") == volumes("baths"));
    CHECK(by_month("strip WHERE 1", "made") == volumes("strips"));
    CHECK(by_month("piece WHERE 1", "made") == volumes("pieces"));
    CHECK(by_month("disposal WHERE 1", "at") == volumes("disposals"));
    CHECK(by_month("dip WHERE strip_id IS NULL", "made") == volumes("dips_of_pieces"));
}

TEST_CASE("the totals of the demo", "[demo]") {
    const auto& totals = truth().at("totals");
    const auto expect = [&](const char* what, const std::string& sql) {
        INFO(what);
        CHECK(count(demo(), "SELECT count(*) FROM " + sql) == totals.at(what).get<std::int64_t>());
    };
    expect("baths", "bath");
    expect("strips", "strip");
    expect("pieces", "piece");
    expect("dips_of_pieces", "dip WHERE strip_id IS NULL");
    expect("dips_of_strips", "dip WHERE strip_id IS NOT NULL");
    expect("rinses", "rinse");
    expect("disposals", "disposal");
    expect("stones", "stone");
    expect("batches", "batch");
    expect("checks_before_baths", "check_run WHERE list_key = 'before_session' AND bath_id IS NOT NULL AND done_utc_ms IS NOT NULL");
    expect("sealed", "after_work WHERE step = 'sealed'");
    expect("waiting_pieces", "piece WHERE batch_id = (SELECT id FROM batch WHERE number = '31')");
    for (const auto& [design, many] : truth().at("designs").items()) {
        CHECK(count(demo(), "SELECT count(*) FROM piece WHERE design = ?1", {design}) == many.get<std::int64_t>());
    }
    for (const auto& [kind, many] : truth().at("stones").items()) {
        CHECK(count(demo(), "SELECT count(*) FROM stone WHERE kind = ?1", {kind}) == many.get<std::int64_t>());
    }
    for (const auto& [with, many] : truth().at("sealed").items()) {
        CHECK(count(demo(), "SELECT count(*) FROM after_work WHERE step = 'sealed' AND used = ?1", {with}) ==
              many.get<std::int64_t>());
    }
    for (const auto& [lot, many] : truth().at("lots").items()) {
        CHECK(count(demo(), "SELECT count(*) FROM bath WHERE lot_id = (SELECT id FROM lot WHERE number = ?1)", {lot}) ==
              many.get<std::int64_t>());
    }
}

TEST_CASE("the demo's records hang together", "[demo]") {
    CHECK(demo().faults().empty());
    // Each bath has three strips and three to six readings; each dip a rinse; each piece that was dipped a tone.
    CHECK(count(demo(),
                "SELECT count(*) FROM bath b WHERE (SELECT count(DISTINCT strip_id) FROM dip d WHERE d.bath_id = b.id) "
                "<> 3") == 0);
    CHECK(count(demo(),
                "SELECT count(*) FROM bath b WHERE (SELECT count(*) FROM reading r WHERE r.bath_id = b.id) NOT BETWEEN "
                "3 AND 6") == 0);
    CHECK(count(demo(), "SELECT count(*) FROM dip d WHERE NOT EXISTS (SELECT 1 FROM rinse r WHERE r.dip_id = d.id)") ==
          0);
    CHECK(count(demo(),
                "SELECT count(*) FROM dip d WHERE NOT EXISTS (SELECT 1 FROM judgement j WHERE j.dip_id = d.id OR "
                "j.strip_id = d.strip_id OR "
                "j.piece_id = d.piece_id OR j.part_id = d.part_id)") == 0);
    // Nothing is in a bath before it was made up or after it ended, and no two racks share a lane at one time.
    CHECK(count(demo(),
                "SELECT count(*) FROM dip d JOIN bath b ON b.id = d.bath_id WHERE d.dropped_utc_ms < b.made_up_utc_ms "
                "OR d.out_utc_ms > b.ended_utc_ms") == 0);
    CHECK(count(demo(),
                "SELECT count(*) FROM dip a JOIN dip b ON b.bath_id = a.bath_id AND b.lane = a.lane AND b.id <> a.id "
                "AND a.dropped_utc_ms <= "
                "b.dropped_utc_ms AND b.dropped_utc_ms < a.out_utc_ms") == 0);
    // Nothing runs, and nothing happened after the demo's own today.
    CHECK(count(demo(), "SELECT count(*) FROM dip WHERE out_utc_ms IS NULL AND past_work = 0") == 0);
    const std::int64_t today = app::demo_as_of().utc_ms;
    for (const char* stamp : {"dip.made", "rinse.at", "reading.at", "judgement.at", "after_work.at", "check_run.done",
                              "disposal.at", "piece.made", "piece.sold", "stone.made", "bath.ended", "bath.made_up",
                              "change.at", "client_order.received", "lot_weighing.at"}) {
        const std::string name = stamp;
        const std::size_t dot = name.find('.');
        INFO(name);
        CHECK(
            count(demo(),
                  "SELECT count(*) FROM \"" + name.substr(0, dot) + "\" WHERE " + name.substr(dot + 1) + "_utc_ms > ?1",
                  {today}) == 0);
    }
}

TEST_CASE("the demo's change log is lived in", "[demo]") {
    const auto all = store::changes(demo(), 1000);
    REQUIRE(all.size() > 70);
    CHECK(all.back().step == "first words");
    // One a day, in the order of the days; the coat book was typed in last, on the last morning.
    for (std::size_t i = 2; i + 2 < all.size(); ++i) {
        CHECK(all[i].at < all[i - 1].at);
        CHECK(date_text(all[i].at) != date_text(all[i - 1].at));
        CHECK_FALSE(all[i].who_id.empty());
    }
    CHECK(std::any_of(all.begin(), all.end(), [](const store::ChangeEntry& one) {
        return std::any_of(one.rows.begin(), one.rows.end(),
                           [](const store::ChangeRow& row) { return row.kind == "update" && row.table == "piece"; });
    }));
    // Summer time until 26 October and from 29 March.
    CHECK(count(demo(),
                "SELECT count(*) FROM change WHERE at_offset_min <> CASE WHEN at_utc_ms < ?1 OR at_utc_ms >= ?2 THEN "
                "60 ELSE 0 END",
                {parse_iso("2025-10-26T01:00Z", 0)->utc_ms, parse_iso("2026-03-29T01:00Z", 0)->utc_ms}) == 0);
}

TEST_CASE("the demo says that it is invented", "[demo]") {
    CHECK(demo().setting("demo") == "yes");
    CHECK(demo().setting("as_of") == truth().at("as_of").get<std::string>());
    REQUIRE(demo().setting("studio"));
    CHECK(demo().setting("studio")->find("invented") != std::string::npos);
}

TEST_CASE("one seed makes one demo", "[demo]") {
    const std::string once = dump(demo());
    CHECK(once.size() > 1'000'000);
    CHECK(dump(*fresh_demo()) == once);
    CHECK(dump(*fresh_demo(7)) != once);
}

TEST_CASE("the demo as a file", "[demo]") {
    const Folder folder;
    const fs::path first = folder.path / "first.tonebath";
    const fs::path second = folder.path / "deep" / "second.tonebath";
    REQUIRE(app::write_demo(first, kData));
    REQUIRE(app::write_demo(second, kData));
    CHECK(read_file(first) == read_file(second));
    CHECK(std::distance(fs::directory_iterator(second.parent_path()), fs::directory_iterator{}) == 1);

    SECTION("is never written over") {
        const std::string before = read_file(first);
        const auto again = app::write_demo(first, kData);
        REQUIRE_FALSE(again);
        CHECK(again.error().code == "demo.exists");
        CHECK(read_file(first) == before);
    }
    SECTION("is left as the visitor left it") {
        {
            auto log = store::Log::open(first, store::OpenMode::read_write);
            REQUIRE(log);
            (*log)->set_setting("at_bench", "someone");
        }
        REQUIRE(app::prepare_demo(first, kData));
        auto log = store::Log::open(first, store::OpenMode::read_only);
        REQUIRE(log);
        CHECK((*log)->setting("at_bench") == "someone");
    }
    SECTION("is laid aside and made again when an older program made it") {
        {
            auto log = store::Log::open(first, store::OpenMode::read_write);
            REQUIRE(log);
            (*log)->set_setting("demo_edition", "1");
            (*log)->set_setting("at_bench", "someone");
        }
        REQUIRE(app::prepare_demo(first, kData));
        CHECK(read_file(first) == read_file(second));
        auto log = store::Log::open(fs::path(first.string() + ".before"), store::OpenMode::read_only);
        REQUIRE(log);
        CHECK((*log)->setting("at_bench") == "someone");
    }
    SECTION("is made where there is none") {
        REQUIRE(app::prepare_demo(folder.path / "third.tonebath", kData));
        CHECK(read_file(folder.path / "third.tonebath") == read_file(second));
    }
    SECTION("is not taken for another studio's log") {
        const fs::path own = folder.path / "own.tonebath";
        REQUIRE(store::Log::open(own, store::OpenMode::create));
        const auto refused = app::prepare_demo(own, kData);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == "demo.not_a_demo");
    }
    SECTION("needs the program's data") {
        const auto refused = app::write_demo(folder.path / "none.tonebath", folder.path / "nowhere");
        REQUIRE_FALSE(refused);
        CHECK_FALSE(fs::exists(folder.path / "none.tonebath"));
    }
    SECTION("says so where it cannot be written") {
        const auto refused = app::write_demo(first / "inside.tonebath", kData);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == "demo.unwritable");
    }
    SECTION("opens at its own today, with its next work and what is owed") {
        const HandClock other({.utc_ms = 4'000'000'000'000, .offset_min = 0});
        const auto studio = app::Studio::open({.log = first, .data = kData}, other);
        REQUIRE(studio);
        CHECK((*studio)->demo());
        CHECK(std::abs(seconds_between(app::demo_as_of(), (*studio)->now())) < 60.0);
        REQUIRE((*studio)->at_bench());
        CHECK((*studio)->at_bench()->initials == "MK");
        const app::TodayView today = app::today_view(**studio, nullptr);
        CHECK(today.baths_in_use == 1);
        REQUIRE(today.next);
        CHECK(today.next->batch == "31");
        CHECK(today.next->waiting == 18);
        CHECK(today.next->bath == "46");
        std::vector<std::string> owed;
        for (const app::OwedItem& item : today.owed) {
            owed.push_back(item.number);
        }
        std::sort(owed.begin(), owed.end());
        CHECK(owed == std::vector<std::string>{"Bath 45", "Fill in", "LS-1", "R-12"});
    }
}

}  // namespace tonebath::demo_test
