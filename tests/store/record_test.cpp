#include "store/random_record.hpp"
#include "store/test_log.hpp"

#include <fmt/format.h>
#include <catch2/catch.hpp>

#include <cmath>
#include <limits>

namespace tonebath::store {
namespace {

TEST_CASE("every noun comes back as it was written, whatever its values") {
    const auto seed = GENERATE(range(1U, 6U));
    CAPTURE(seed);
    RandomRecords random(seed);
    const TemporaryFolder folder;
    IdSource ids(seed);
    std::vector<std::function<void(Log&)>> checks;
    {
        const std::unique_ptr<Log> log = opened(folder / "log.tonebath");
        Change change(*log, "all nouns", kMorning, "", ids);
        for_each_noun([&]<class Noun>(const Noun&) {
            for (int i = 0; i < 12; ++i) {
                Noun record = random.next<Noun>();
                insert(*log, record);
                if (i % 3 == 0) {  // written over with other values
                    Noun other = random.next<Noun>();
                    random.forget_last<Noun>();
                    other.id = record.id;
                    update(*log, other);
                    record = other;
                }
                checks.emplace_back([record](Log& again) {
                    const std::optional<Noun> found = find(again, record.id);
                    REQUIRE(found.has_value());
                    CHECK(all_of(*found) == all_of(record));
                });
            }
        });
        change.commit();
    }
    const std::unique_ptr<Log> log = opened(folder / "log.tonebath", OpenMode::read_only);
    for (const auto& check : checks) {
        check(*log);
    }
    CHECK(checks.size() == 12 * std::tuple_size_v<AllNouns>);
    CHECK(log->faults().empty());
}

TEST_CASE("the change log of random records, taken back and brought forward, loses nothing") {
    RandomRecords random(77);
    IdSource ids(77);
    const std::unique_ptr<Log> log = Log::in_memory();
    std::vector<std::string> expected;
    const auto all_records = [&log] {
        std::vector<std::string> all;
        for_each_noun([&]<class Noun>(const Noun&) {
            for (const Noun& record : list<Noun>(*log, "ORDER BY id")) {
                all.push_back(all_of(record));
            }
        });
        return all;
    };
    const std::string step = in_change(*log, ids, "all nouns", [&] {
        for_each_noun([&]<class Noun>(const Noun&) {
            if (!is_kept_table(Noun::kTable)) {
                for (int i = 0; i < 6; ++i) {
                    insert(*log, random.next<Noun>());
                }
            }
        });
    });
    const std::vector<std::string> before = all_records();
    REQUIRE(take_back(*log, step, kMorning, "", ids).has_value());
    CHECK(all_records().empty());
    REQUIRE(take_back(*log, next_redo(*log, kMorning)->id, kMorning, "", ids).has_value());
    CHECK(all_records() == before);
    CHECK(log->faults().empty());
}

TEST_CASE("what is unknown is NULL in the table, never 0 or an empty text") {
    RandomRecords random(5);
    IdSource ids(5);
    const std::unique_ptr<Log> log = Log::in_memory();
    std::size_t seen = 0;
    Change change(*log, "all nouns", kMorning, "", ids);
    for_each_noun([&]<class Noun>(const Noun&) {
        for (int i = 0; i < 8; ++i) {
            const Noun record = random.next<Noun>();
            insert(*log, record);
            Noun::fields(record, [&]<class T>(std::string_view name, const T& value) {
                if constexpr (Plain<T>::kOptional) {
                    const bool stamp = std::is_same_v<typename Plain<T>::Type, Stamp>;
                    Query query(*log,
                                fmt::format("SELECT {}{} IS NULL FROM {} WHERE id = ?1", name, stamp ? "_utc_ms" : "",
                                            Noun::kTable),
                                {record.id.text});
                    REQUIRE(query.next());
                    CAPTURE(Noun::kTable, name);
                    CHECK((query.integer(0) == 1) == !value.has_value());
                    seen += value.has_value() ? 0U : 1U;
                }
            });
        }
    });
    CHECK(seen > 200);
}

TEST_CASE("a number that is not finite is refused in every column that holds one, and nothing is written") {
    const double wrong = GENERATE(std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity());
    RandomRecords random(6);
    IdSource ids(6);
    const std::unique_ptr<Log> log = Log::in_memory();
    int tried = 0;
    for_each_noun([&]<class Noun>(const Noun&) {
        std::vector<std::string> names;
        const Noun empty;
        Noun::fields(empty, [&names]<class T>(std::string_view name, const T&) {
            using P = typename Plain<T>::Type;
            if constexpr (std::is_same_v<P, double> || kIsQuantity<P>) {
                names.emplace_back(name);
            }
        });
        in_change(*log, ids, "good", [&] { insert(*log, random.next<Noun>()); });
        for (const std::string& wanted : names) {
            Noun record = random.next<Noun>();
            random.forget_last<Noun>();
            Noun::fields(record, [&]<class T>(std::string_view name, T& value) {
                using P = typename Plain<T>::Type;
                if (name == wanted) {
                    if constexpr (std::is_same_v<P, double>) {
                        value = wrong;
                    } else if constexpr (std::is_same_v<P, Celsius>) {
                        value = Celsius::from_celsius(wrong);
                    } else if constexpr (std::is_same_v<P, Millilitres>) {
                        value = Millilitres::from_ml(wrong);
                    } else if constexpr (std::is_same_v<P, Millimetres>) {
                        value = Millimetres::from_mm(wrong);
                    } else if constexpr (std::is_same_v<P, Seconds>) {
                        value = Seconds::from_seconds(wrong);
                    }
                }
            });
            CAPTURE(Noun::kTable, wanted);
            {
                Change change(*log, "bad", kMorning, "", ids);
                try {
                    insert(*log, record);
                    FAIL_CHECK("it was taken");
                } catch (const StoreError& refused) {
                    CHECK(refused.kind() == StoreError::Kind::rule);
                    CHECK(std::string(refused.what()).find(wanted) != std::string::npos);
                }
            }
            CHECK_FALSE(find(*log, record.id).has_value());
            ++tried;
        }
    });
    CHECK(tried > 30);
}

TEST_CASE("text that is not UTF-8 is refused") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(8);
    Vessel vessel = vessel_named(ids, "V1");
    vessel.note = "caf\xE9";
    Change change(*log, "bad", kMorning, "", ids);
    CHECK_THROWS_AS(insert(*log, vessel), StoreError);
}

TEST_CASE("the tables refuse what can never be right") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(9);
    const Bath bath = bath_numbered(ids, "46");
    const Piece piece = piece_numbered(ids, "L-058");
    in_change(*log, ids, "good", [&] {
        insert(*log, bath);
        insert(*log, piece);
    });
    const auto refused = [&](auto record) {
        Change change(*log, "bad", kMorning, "", ids);
        try {
            insert(*log, record);
            change.commit();
            return std::string("taken");
        } catch (const StoreError& error) {
            CHECK(error.kind() == StoreError::Kind::rule);
            return std::string(error.what());
        }
    };
    Dip dip;
    dip.id = ids.next<Dip>(kMorning);
    dip.bath_id = bath.id;
    dip.made_at = kMorning;
    SECTION("a dip of nothing and a dip of two things") {
        CHECK(refused(dip) != "taken");
        dip.piece_id = piece.id;
        Strip strip;
        dip.strip_id = ids.next<Strip>(kMorning);
        CHECK(refused(dip) != "taken");
    }
    SECTION("a dip in a bath that is not there") {
        dip.piece_id = piece.id;
        dip.bath_id = ids.next<Bath>(kMorning);
        CHECK(refused(dip).find("FOREIGN KEY") != std::string::npos);
    }
    SECTION("two pieces with one number") {
        CHECK(refused(piece_numbered(ids, "L-058")).find("piece.number") != std::string::npos);
    }
    SECTION("an amount of nothing, water below nothing, heat below absolute zero") {
        Bath bad = bath_numbered(ids, "47");
        bad.amount = 0.0;
        CHECK(refused(bad) != "taken");
        bad.amount = 2.0;
        bad.water = Millilitres::from_ml(-400.0);
        CHECK(refused(bad) != "taken");
        bad.water = Millilitres::from_ml(400.0);
        bad.start_temp = Celsius::from_celsius(-274.0);
        CHECK(refused(bad) != "taken");
        bad.start_temp = Celsius::from_celsius(60.0);
        CHECK(refused(bad) == "taken");
    }
    SECTION("an empty number, an offset beyond the earth's") {
        CHECK(refused(bath_numbered(ids, "")) != "taken");
        Bath bad = bath_numbered(ids, "47");
        bad.made_up_at.offset_min = 841;
        CHECK(refused(bad) != "taken");
    }
    SECTION("removing what others refer to") {
        dip.piece_id = piece.id;
        in_change(*log, ids, "dip", [&] { insert(*log, dip); });
        Change change(*log, "bad", kMorning, "", ids);
        CHECK_THROWS_AS(remove(*log, bath.id), StoreError);
    }
    SECTION("writing over a record that is gone") {
        Change change(*log, "bad", kMorning, "", ids);
        CHECK_THROWS_AS(update(*log, bath_numbered(ids, "99")), StoreError);
        CHECK_THROWS_AS(remove(*log, ids.next<Bath>(kMorning)), StoreError);
    }
}

}  // namespace
}  // namespace tonebath::store
