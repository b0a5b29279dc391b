// The tables and the nouns are written down apart; these tests keep them together.
#include "store/migrate.hpp"
#include "store/random_record.hpp"
#include "store/test_log.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include <map>
#include <set>

namespace tonebath::store {
namespace {

TEST_CASE("each noun's columns are the table's columns, in order, with type and NOT NULL as the field's type says") {
    const std::unique_ptr<Log> log = Log::in_memory();
    for_each_noun([&]<class Noun>(const Noun& empty) {
        CAPTURE(Noun::kTable);
        std::vector<std::string> names;
        std::map<std::string, std::string> types;
        Query query(*log, "SELECT name, type, \"notnull\" FROM pragma_table_info(?1) ORDER BY cid",
                    {std::string(Noun::kTable)});
        while (query.next()) {
            names.push_back(query.text(0));
            types[query.text(0)] = query.text(1) + (query.integer(2) != 0 ? " known" : "");
        }
        CHECK(columns<Noun>() == names);
        CHECK(names.at(0) == "id");
        Noun::fields(empty, [&]<class T>(std::string_view name, const T&) {
            using P = typename Plain<T>::Type;
            const std::string known = Plain<T>::kOptional ? "" : " known";
            CAPTURE(name);
            if constexpr (std::is_same_v<P, Stamp>) {
                CHECK(types[std::string(name) + "_utc_ms"] == "INTEGER" + known);
                CHECK(types[std::string(name) + "_offset_min"] == "INTEGER" + known);
            } else if constexpr (IdOf<P>::value || std::is_same_v<P, std::string> || Worded<P>) {
                CHECK(types[std::string(name)] == "TEXT" + known);
            } else if constexpr (std::is_same_v<P, double> || kIsQuantity<P>) {
                CHECK(types[std::string(name)] == "REAL" + known);
            } else {
                CHECK(types[std::string(name)] == "INTEGER" + known);
            }
        });
    });
}

TEST_CASE("each reference of a noun is a foreign key to its noun's table") {
    const std::unique_ptr<Log> log = Log::in_memory();
    int references = 0;
    for_each_noun([&]<class Noun>(const Noun& empty) {
        std::set<std::string> expected;
        Noun::fields(empty, [&expected]<class T>(std::string_view name, const T&) {
            using P = typename Plain<T>::Type;
            if constexpr (IdOf<P>::value) {
                if (name != "id") {
                    expected.insert(fmt::format("{} -> {}", name, IdOf<P>::Noun::kTable));
                }
            }
        });
        std::set<std::string> found;
        Query query(*log, "SELECT \"from\", \"table\" FROM pragma_foreign_key_list(?1)", {std::string(Noun::kTable)});
        while (query.next()) {
            found.insert(query.text(0) + " -> " + query.text(1));
        }
        CAPTURE(Noun::kTable);
        CHECK(found == expected);
        references += static_cast<int>(found.size());
    });
    CHECK(references > 40);
}

TEST_CASE("each word of an enumerator is taken by its column, any other is not") {
    RandomRecords random(3);
    IdSource ids(3);
    const std::unique_ptr<Log> log = Log::in_memory();
    for_each_noun([&]<class Noun>(const Noun&) {
        const Noun record = random.next<Noun>();
        in_change(*log, ids, "one", [&] { insert(*log, record); });
        Noun::fields(record, [&]<class T>(std::string_view name, const T&) {
            using P = typename Plain<T>::Type;
            if constexpr (Worded<P>) {
                CAPTURE(Noun::kTable, name);
                const std::string sql = fmt::format("UPDATE {} SET {} = ?1", Noun::kTable, name);
                for (const std::string_view word : EnumWords<P>::words) {
                    CAPTURE(word);
                    CHECK(run(*log, sql, {std::string(word)}) == 1);
                }
                CHECK_THROWS_AS(run(*log, sql, {std::string("no such word")}), StoreError);
                CHECK_THROWS_AS(run(*log, sql, {std::string()}), StoreError);
            }
        });
    });
}

TEST_CASE("every table is STRICT, and there is a noun for each that is not the log's own") {
    const std::unique_ptr<Log> log = Log::in_memory();
    std::set<std::string> nouns;
    for_each_noun([&nouns]<class Noun>(const Noun&) { nouns.insert(std::string(Noun::kTable)); });
    CHECK(nouns.size() == std::tuple_size_v<AllNouns>);
    Query query(*log, "SELECT name, strict FROM pragma_table_list WHERE type = 'table' AND name NOT LIKE 'sqlite%'");
    std::set<std::string> tables;
    while (query.next()) {
        CAPTURE(query.text(0));
        CHECK(query.integer(1) == 1);
        tables.insert(query.text(0));
    }
    for (const char* own : {"change", "change_row", "setting", "find_entry"}) {
        CHECK(tables.erase(own) == 1);
    }
    CHECK(tables == nouns);
}

// FNV-1a, 64 bits (Fowler, Noll, Vo; draft-eastlake-fnv): enough to notice an edit.
std::uint64_t checksum(std::string_view text) {
    std::uint64_t sum = 0xCBF29CE484222325U;
    for (const char c : text) {
        sum = (sum ^ static_cast<unsigned char>(c)) * 0x100000001B3U;
    }
    return sum;
}

TEST_CASE("a migration never changes once it is listed here: a change of the tables is a new file") {
    const std::map<std::string, std::uint64_t> released{
        {"0001_first.sql", 0x95E78181FA765A3DU},
        {"0002_own_figures.sql", 0x5EA1ABCE7CC630A2U},
        {"0003_stones.sql", 0x8F5AAAE160C07A1CU},
        {"0004_desk.sql", 0x87B98FA89BCEEB64U},
        {"0005_consent_limits.sql", 0xE3EA901403E7DC7BU},
    };
    int expected = 1;
    for (const Migration& step : migrations()) {
        CAPTURE(step.file);
        CHECK(step.version == expected++);
        const auto known = released.find(std::string(step.file));
        REQUIRE(known != released.end());
        CHECK(fmt::format("{:#x}", checksum(step.sql)) == fmt::format("{:#x}", known->second));
    }
    CHECK(migrations().size() == released.size());
    CHECK(schema_version() == static_cast<int>(released.size()));
}

TEST_CASE("a step runs once, with its version, and a step that fails leaves no trace") {
    SQLite::Database database(":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    const std::vector<Migration> first{{1, "0001_a.sql", "CREATE TABLE a (id INTEGER PRIMARY KEY) STRICT;"}};
    CHECK(upgrade(database, first) == 0);
    CHECK(version_of(database) == 1);
    CHECK(upgrade(database, first) == 1);

    std::vector<Migration> steps = first;
    steps.push_back(
        {2, "0002_b.sql", "CREATE TABLE b (a_id INTEGER REFERENCES a (id)) STRICT; INSERT INTO b VALUES (1);"});
    CHECK_THROWS_WITH(upgrade(database, steps), Catch::Matchers::Contains("0002_b.sql"));
    CHECK(version_of(database) == 1);
    CHECK_FALSE(database.tableExists("b"));

    steps.back().sql = "CREATE TABLE b (a_id INTEGER REFERENCES a (id)) STRICT; nonsense;";
    CHECK_THROWS_AS(upgrade(database, steps), StoreError);
    CHECK_FALSE(database.tableExists("b"));

    steps.back().sql =
        "CREATE TABLE b (a_id INTEGER REFERENCES a (id)) STRICT; -- ; not an end\nCREATE TABLE c (x TEXT) STRICT;";
    CHECK(upgrade(database, steps) == 1);
    CHECK(version_of(database) == 2);
    CHECK(database.tableExists("c"));
}

TEST_CASE("a log of the first version opens: the lines of its own figures are records afterwards") {
    SQLite::Database database(":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    upgrade(database, migrations().first(1));
    SQLite::Statement put(database, "INSERT INTO setting VALUES ('usual', ?)");
    put.bind(1, "temperature-effect\t2026-03-01T08:00:00.000+01:00\t50\t40\t60\tfirst\n"
                "fade-open\t2026-03-02T08:00:00.000+01:00\t6\t3\t12\twinter\n"
                "temperature-effect\t2026-03-03T08:00:00.500+01:00\t90\t88\t92\tour \"own\" trials, été\n"
                "not a line of it\n"
                "fade-open\t2026-03-04T08:00:00.000+01:00\t\t\t\t\n"
                "watched\t2026-03-05T08:00:00.000+00:00\t0.1\t\t\t");
    put.exec();
    CHECK(upgrade(database, migrations()) == 1);
    SQLite::Statement rows(database, "SELECT figure, middle, low, high, source, at_utc_ms, length(id), who FROM own_figure ORDER BY figure");
    REQUIRE(rows.executeStep());
    CHECK(rows.getColumn(0).getString() == "temperature-effect");
    CHECK(rows.getColumn(1).getDouble() == 90.0);
    CHECK(rows.getColumn(2).getDouble() == 88.0);
    CHECK(rows.getColumn(3).getDouble() == 92.0);
    CHECK(rows.getColumn(4).getString() == "our \"own\" trials, été");
    CHECK(rows.getColumn(5).getInt64() == 1772521200000);  // 3 March 2026, 07:00 UTC
    CHECK(rows.getColumn(6).getInt() == 36);
    CHECK(rows.getColumn(7).isNull());
    REQUIRE(rows.executeStep());  // fade-open went back to what is usual
    CHECK(rows.getColumn(0).getString() == "watched");
    CHECK(rows.getColumn(1).getDouble() == 0.1);
    CHECK(rows.getColumn(2).isNull());
    CHECK_FALSE(rows.executeStep());
    CHECK(database.execAndGet("SELECT count(*) FROM setting WHERE key = 'usual'").getInt() == 0);
    CHECK(database.execAndGet("SELECT count(*) FROM setting").getInt() == 1);
}

}  // namespace
}  // namespace tonebath::store
