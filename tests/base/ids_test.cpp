#include "base/ids.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <set>
#include <unordered_set>
#include <vector>

using namespace tonebath;

namespace {

struct Bath;
using BathId = Id<Bath>;

std::int64_t ms_of(const BathId& id) {
    const std::string digits = id.text.substr(0, 8) + id.text.substr(9, 4);
    return static_cast<std::int64_t>(std::strtoull(digits.c_str(), nullptr, 16));
}

}  // namespace

TEST_CASE("an id has the layout of RFC 9562") {
    // The example of RFC 9562, A.6: Tuesday, 22 February 2022, 2:22:22.00 PM GMT-05:00, ms 0x017F22E279B0.
    const std::string example = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f";
    CHECK(is_uuid7(example));
    const Stamp moment = stamp_of({.year = 2022, .month = 2, .day = 22, .hour = 14, .minute = 22, .second = 22}, -300);
    IdSource source(1);
    const BathId id = source.next<Bath>(moment);
    CHECK(is_uuid7(id.text));
    CHECK(id.text.substr(0, 14) == example.substr(0, 14));  // 48 bits of time and the version
    CHECK(ms_of(id) == moment.utc_ms);
}

TEST_CASE("what is no version 7 id is not taken for one") {
    const std::string text = GENERATE(values<std::string>({
        "",
        "017f22e2-79b0-7cc3-98c4-dc0c0c07398",    // short
        "017f22e2-79b0-7cc3-98c4-dc0c0c07398f0",  // long
        "017f22e2-79b0-4cc3-98c4-dc0c0c07398f",   // version 4
        "017f22e2-79b0-7cc3-78c4-dc0c0c07398f",   // variant 01
        "017f22e2-79b0-7cc3-c8c4-dc0c0c07398f",   // variant 11
        "017f22e2079b0-7cc3-98c4-dc0c0c07398f",   // no dash
        "017f22e-279b0-7cc3-98c4-dc0c0c07398f",   // dash misplaced
        "017f22e2-79b0-7cc3-98c4-dc0c0c07398g",   // not hexadecimal
        "017F22E2-79B0-7CC3-98C4-DC0C0C07398F",   // a second spelling
        "{17f22e2-79b0-7cc3-98c4-dc0c0c07398}",
    }));
    CHECK_FALSE(is_uuid7(text));
}

TEST_CASE("100,000 ids of one millisecond rise and none comes twice") {
    IdSource source;
    const Stamp at{1'700'000'000'000, 60};
    std::unordered_set<std::string> seen;
    BathId last;
    for (int i = 0; i < 100'000; ++i) {
        const BathId id = source.next<Bath>(at);
        if (!(last < id) || !is_uuid7(id.text) || !seen.insert(id.text).second) {
            FAIL("id " << i << ": " << id.text << " after " << last.text);
        }
        last = id;
    }
    // Each millisecond borrowed from the future holds at least 2048 ids.
    CHECK(ms_of(last) - at.utc_ms <= 100'000 / 2048 + 1);
}

TEST_CASE("ids go on rising when the clock is set back, and follow it when it moves on") {
    IdSource source(7);
    const BathId first = source.next<Bath>({1'700'000'000'000, 0});
    const BathId back = source.next<Bath>({1'600'000'000'000, 0});
    const BathId before_1970 = source.next<Bath>({-5, 0});
    const BathId on = source.next<Bath>({1'700'000'000'001, 0});
    CHECK(first < back);
    CHECK(back < before_1970);
    CHECK(before_1970 < on);
    CHECK(ms_of(on) == 1'700'000'000'001);
}

TEST_CASE("moments out of reach of 48 bits still give well-formed rising ids") {
    IdSource source(3);
    BathId last;
    for (const std::int64_t ms : {std::int64_t{-1}, std::int64_t{0}, std::int64_t{1}, (std::int64_t{1} << 48) - 1}) {
        const BathId id = source.next<Bath>({ms, 0});
        CHECK(is_uuid7(id.text));
        CHECK(last < id);
        last = id;
    }
}

TEST_CASE("the same seed makes the same ids, another seed others") {
    IdSource one(42);
    IdSource same(42);
    IdSource other(43);
    IdSource system_one;
    IdSource system_other;
    for (int i = 0; i < 100; ++i) {
        const Stamp at{1'700'000'000'000 + i / 3, 0};
        const BathId id = one.next<Bath>(at);
        CHECK(id == same.next<Bath>(at));
        CHECK(id != other.next<Bath>(at));
        CHECK(system_one.next<Bath>(at) != system_other.next<Bath>(at));
    }
}

TEST_CASE("every free bit of an id takes both values") {
    IdSource source(5);
    std::vector<std::set<char>> digits(36);
    for (int i = 0; i < 2000; ++i) {
        const BathId id = source.next<Bath>({1'700'000'000'000 + i, 0});
        for (std::size_t k = 0; k < 36; ++k) {
            digits[k].insert(id.text[k]);
        }
    }
    CHECK(digits[15].size() == 8);  // the counter starts with its top bit clear
    CHECK(digits[19] == std::set<char>{'8', '9', 'a', 'b'});
    for (const std::size_t k : {16U, 17U, 20U, 21U, 22U, 24U, 30U, 35U}) {
        CHECK(digits[k].size() == 16);
    }
}

TEST_CASE("an id that was never given is empty") {
    CHECK(BathId{}.empty());
    CHECK_FALSE(IdSource(1).next<Bath>({0, 0}).empty());
}
