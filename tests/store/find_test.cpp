#include "store/find_store.hpp"
#include "store/test_log.hpp"

#include <catch2/catch.hpp>

namespace tonebath::store {
namespace {

std::vector<std::string> titles(Log& log, std::string_view typed, std::size_t limit = 50) {
    std::vector<std::string> found;
    for (const Found& one : find_text(log, typed, limit)) {
        found.push_back(one.title.empty() ? one.table : one.title);
    }
    return found;
}

TEST_CASE("find goes by number first, then by beginnings of words, whatever case and accents") {
    using Titles = std::vector<std::string>;
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(3);
    Piece limpet = piece_numbered(ids, "L-131");
    limpet.design = "Limpet lid";
    limpet.note = "große Öse, café";
    Piece ring = piece_numbered(ids, "L-13");
    ring.note = "銀の指輪を磨く; 50% \"done\"";
    Piece third = piece_numbered(ids, "L-1310");
    third.note = "see L-131";
    Reading reading;
    const Bath bath = bath_numbered(ids, "131");
    reading.id = ids.next<Reading>(kMorning);
    reading.bath_id = bath.id;
    reading.note = "limpet rack cooled in the draught";
    reading.at = reading.made_at = kMorning;
    in_change(*log, ids, "records", [&] {
        insert(*log, limpet);
        insert(*log, ring);
        insert(*log, third);
        insert(*log, bath);
        insert(*log, reading);
    });
    CHECK(titles(*log, "L-13") == Titles{"L-13", "L-131", "L-1310"});
    CHECK(titles(*log, " l-131 ") == Titles{"L-131", "L-1310"});
    CHECK(titles(*log, "131").front() == "131");
    CHECK(titles(*log, "131").size() == 3);
    CHECK(titles(*log, "limpet") == Titles{"reading", "L-131"});
    CHECK(titles(*log, "lid LIM") == Titles{"L-131"});
    CHECK(titles(*log, "grose") == Titles{});
    CHECK(titles(*log, "große ose") == Titles{"L-131"});
    CHECK(titles(*log, "CAFE") == Titles{"L-131"});
    CHECK(titles(*log, "指輪") == Titles{"L-13"});
    CHECK(titles(*log, "50% done") == Titles{"L-13"});
    CHECK(titles(*log, "limpet", 1) == Titles{"reading"});

    // Kept up with corrections, removals and undo.
    limpet.design = "Whelk";
    in_change(*log, ids, "correct", [&] { update(*log, limpet); });
    CHECK(titles(*log, "limpet") == Titles{"reading"});
    CHECK(titles(*log, "whelk") == Titles{"L-131"});
    REQUIRE(take_back(*log, next_undo(*log, kMorning)->id, kMorning, "", ids).has_value());
    CHECK(titles(*log, "limpet").size() == 2);
    reading.note = "";
    in_change(*log, ids, "correct", [&] { update(*log, reading); });
    CHECK(titles(*log, "draught").empty());
    in_change(*log, ids, "remove", [&] { remove(*log, limpet.id); });
    CHECK(titles(*log, "limpet").empty());
}

TEST_CASE("whatever is typed to find, it is looked for and never read as a command") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(4);
    in_change(*log, ids, "one", [&] { insert(*log, piece_numbered(ids, "L-1")); });
    for (const std::string typed : {"",          "   ",    "\"", "\"\"", "*",  "-", "AND", "NOT OR",
                                    "NEAR(a b)", "title:", "(",  "a\"b", "^x", "%", "_",   "'; DROP TABLE piece; --",
                                    "\xFF\xFE",  "+",      "{}", "指%"}) {
        CAPTURE(typed);
        CHECK_NOTHROW(find_text(*log, typed));
    }
    CHECK(find_text(*log, std::string(5000, 'x')).empty());
    CHECK(find_text(*log, std::string("L-1\0x", 5)).empty());
    CHECK(find_text(*log, "%").empty());
    CHECK(find_text(*log, "指%").empty());
    CHECK(find_text(*log, "L-1").size() == 1);
}

}  // namespace
}  // namespace tonebath::store
