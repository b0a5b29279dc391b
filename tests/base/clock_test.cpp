#include "base/clock.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <unistd.h>

#include <cstdlib>
#include <ctime>
#include <fstream>
#include <string>

using namespace tonebath;

namespace {

const std::int64_t kFirst1900 = stamp_of({.year = 1900, .month = 1, .day = 1}, 0).utc_ms;
const std::int64_t kLast2200 = stamp_of({.year = 2200, .month = 12, .day = 31}, 0).utc_ms;

// A moment of the years 1900 to 2200, by the millisecond, at any offset.
Stamp any_stamp() {
    return {*rc::gen::inRange(kFirst1900, kLast2200), *rc::gen::inRange(-840, 841)};
}

void set_zone(const char* zone) {
    if (zone != nullptr) {
        ::setenv("TZ", zone, 1);
    } else {
        ::unsetenv("TZ");
    }
    ::tzset();
}

}  // namespace

TEST_CASE("calendar fields are those of the C library") {
    CHECK(rc::check("as gmtime", [] {
        for (int i = 0; i < 100; ++i) {
            const Stamp at = any_stamp();
            const std::int64_t local_ms = at.utc_ms + at.offset_min * std::int64_t{60'000};
            const std::int64_t ms = ((local_ms % 1000) + 1000) % 1000;
            const auto local_s = static_cast<std::time_t>((local_ms - ms) / 1000);
            std::tm expected{};
            RC_ASSERT(::gmtime_r(&local_s, &expected) != nullptr);
            const CivilTime fields = civil(at);
            RC_ASSERT(fields.year == expected.tm_year + 1900);
            RC_ASSERT(fields.month == expected.tm_mon + 1);
            RC_ASSERT(fields.day == expected.tm_mday);
            RC_ASSERT(fields.hour == expected.tm_hour);
            RC_ASSERT(fields.minute == expected.tm_min);
            RC_ASSERT(fields.second == expected.tm_sec);
            RC_ASSERT(fields.ms == ms);
            RC_ASSERT(fields.weekday == expected.tm_wday);
        }
    }));
}

TEST_CASE("a stamp survives its calendar fields and its text") {
    CHECK(rc::check("round trips", [] {
        for (int i = 0; i < 100; ++i) {
            const Stamp at = any_stamp();
            const Stamp again = stamp_of(civil(at), at.offset_min);
            RC_ASSERT(again.utc_ms == at.utc_ms);
            RC_ASSERT(again.offset_min == at.offset_min);
            const std::optional<Stamp> read = parse_iso(iso_text(at), 123);
            RC_ASSERT(read.has_value());
            RC_ASSERT(read->utc_ms == at.utc_ms);
            RC_ASSERT(read->offset_min == at.offset_min);
        }
    }));
}

TEST_CASE("known moments") {
    CHECK(stamp_of({.year = 1970, .month = 1, .day = 1}, 0).utc_ms == 0);
    CHECK(stamp_of({.year = 2000, .month = 3, .day = 1}, 0).utc_ms == 951'868'800'000);  // POSIX time of that day
    CHECK(stamp_of({.year = 2026, .month = 3, .day = 31, .hour = 9, .minute = 42}, 60).utc_ms ==
          stamp_of({.year = 2026, .month = 3, .day = 31, .hour = 8, .minute = 42}, 0).utc_ms);
    CHECK(civil({-1, 0}).year == 1969);
    CHECK(civil({-1, 0}).ms == 999);
    CHECK(civil({0, 0}).weekday == 4);  // 1 January 1970 was a Thursday
}

TEST_CASE("order and equality are of the moment alone") {
    CHECK(Stamp{1000, 0} == Stamp{1000, 60});
    CHECK(Stamp{999, 840} < Stamp{1000, -840});
}

TEST_CASE("seconds add up, to the millisecond and within the calendar") {
    const Stamp at{1'700'000'000'000, 120};
    CHECK(plus_seconds(at, 1.5).utc_ms == at.utc_ms + 1500);
    CHECK(plus_seconds(at, -0.0004).utc_ms == at.utc_ms);
    CHECK(plus_seconds(at, 0.0006).utc_ms == at.utc_ms + 1);
    CHECK(plus_seconds(at, 5).offset_min == 120);
    CHECK(seconds_between(at, plus_seconds(at, 86'400.25)) == 86'400.25);
    CHECK(seconds_between(plus_seconds(at, 10), at) == -10.0);
    for (const double far : {1e300, -1e300, 1e18, -1e18}) {
        for (const int offset : {-840, 0, 840}) {
            const Stamp end = plus_seconds({at.utc_ms, offset}, far);
            const std::optional<Stamp> read = parse_iso(iso_text(end), 0);
            REQUIRE(read);
            CHECK(*read == end);
            CHECK(civil(end).year == (far > 0 ? 9999 : 1));
        }
    }
}

TEST_CASE("the system clock tells the time and the offset of the place") {
    const char* before = std::getenv("TZ");
    const std::string saved = before == nullptr ? "" : before;
    struct Row {
        const char* zone;
        int offset_min;
    };
    // POSIX zone rules without summer time, so that no zone data are needed.
    for (const Row& row : {Row{"UTC0", 0}, Row{"<+0545>-5:45", 345}, Row{"<-0330>3:30", -210}, Row{"<+14>-14", 840}}) {
        set_zone(row.zone);
        const Stamp now = SystemClock{}.now();
        CHECK(now.offset_min == row.offset_min);
        CHECK(std::abs(now.utc_ms / 1000 - std::time(nullptr)) <= 1);
    }
    set_zone(before == nullptr ? nullptr : saved.c_str());
}

TEST_CASE("the boot clock is the kernel's and runs on") {
    const SystemClock clock;
    const BootTime one = clock.boot();
    std::ifstream file("/proc/sys/kernel/random/boot_id");
    std::string id;
    REQUIRE(file >> id);
    CHECK(one.boot_id == id);
    timespec up{};
    REQUIRE(::clock_gettime(CLOCK_BOOTTIME, &up) == 0);
    CHECK(std::abs(one.ms - (up.tv_sec * 1000 + up.tv_nsec / 1'000'000)) < 1000);
    ::usleep(30'000);
    const BootTime two = clock.boot();
    CHECK(two.boot_id == one.boot_id);
    CHECK(two.ms - one.ms >= 29);
    CHECK(two.ms - one.ms < 5000);
}

TEST_CASE("the as-of clock starts at its moment and runs with the boot clock") {
    const Stamp start = stamp_of({.year = 2026, .month = 3, .day = 31, .hour = 9}, 60);
    const AsOfClock clock(start);
    const Stamp first = clock.now();
    CHECK(first.offset_min == 60);
    CHECK(seconds_between(start, first) >= 0.0);
    CHECK(seconds_between(start, first) < 5.0);
    const BootTime boot = clock.boot();
    ::usleep(30'000);
    const double wall_s = seconds_between(first, clock.now());
    CHECK(wall_s >= 0.029);
    CHECK(clock.boot().boot_id == boot.boot_id);
    CHECK(clock.boot().ms - boot.ms >= 29);
}

TEST_CASE("the hand clock moves, jumps and restarts as told") {
    const Stamp start{1'700'000'000'000, 60};
    HandClock clock(start);
    const BootTime boot = clock.boot();
    clock.advance(2.5);
    CHECK(seconds_between(start, clock.now()) == 2.5);
    CHECK(clock.boot().ms - boot.ms == 2500);
    CHECK(clock.boot().boot_id == boot.boot_id);

    clock.set_wall({start.utc_ms - 3'600'000, 0});  // set back
    CHECK(clock.now().utc_ms == start.utc_ms - 3'600'000);
    CHECK(clock.now().offset_min == 0);
    CHECK(clock.boot().ms - boot.ms == 2500);

    const Stamp before = clock.now();
    clock.restart(90);
    CHECK(seconds_between(before, clock.now()) == 90.0);
    CHECK(clock.boot().boot_id != boot.boot_id);
    CHECK(clock.boot().ms < 60'000);
    const std::string second = clock.boot().boot_id;
    clock.restart(1);
    CHECK(clock.boot().boot_id != second);
}
