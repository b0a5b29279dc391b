#include "base/clock.hpp"

#include "base/check.hpp"

#include <time.h>
#include <unistd.h>
#include <ctime>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <fstream>

namespace tonebath {

namespace {

constexpr std::int64_t kMsPerMinute = 60'000;
// 0001-01-02 and 9999-12-30, so that four digits hold the year at every offset.
constexpr std::int64_t kEarliestMs = -62'135'510'400'000;
constexpr std::int64_t kLatestMs = 253'402'128'000'000;

std::int64_t boot_ms() {
    timespec reading{};
    TB_CHECK(clock_gettime(CLOCK_BOOTTIME, &reading) == 0);
    return std::int64_t{reading.tv_sec} * 1000 + std::int64_t{reading.tv_nsec} / 1'000'000;
}

// Where the system names no boot, the readings are comparable within this program run alone.
std::string read_boot_id() {
    std::ifstream file("/proc/sys/kernel/random/boot_id");
    std::string id;
    if (file >> id && !id.empty()) {
        return id;
    }
    return "run-" + std::to_string(getpid()) + "-" + std::to_string(std::time(nullptr));
}

int local_offset_min(std::int64_t utc_ms) {
    const auto seconds =
        static_cast<std::time_t>(std::chrono::floor<std::chrono::seconds>(std::chrono::milliseconds(utc_ms)).count());
    std::tm local{};
    tzset();
    if (localtime_r(&seconds, &local) == nullptr) {
        return 0;
    }
    return static_cast<int>(std::clamp(local.tm_gmtoff / 60, -840L, 840L));
}

}  // namespace

double seconds_between(const Stamp& from, const Stamp& to) {
    return static_cast<double>(to.utc_ms - from.utc_ms) / 1000.0;
}

Stamp plus_seconds(const Stamp& from, double seconds) {
    TB_CHECK(!std::isnan(seconds));
    const auto span = static_cast<double>(kLatestMs - kEarliestMs);
    const auto step_ms = static_cast<std::int64_t>(std::round(std::clamp(seconds * 1000.0, -span, span)));
    const std::int64_t start_ms = std::clamp(from.utc_ms, kEarliestMs, kLatestMs);
    return {std::clamp(start_ms + step_ms, kEarliestMs, kLatestMs), from.offset_min};
}

CivilTime civil(const Stamp& at) {
    using namespace std::chrono;
    const milliseconds local(at.utc_ms + at.offset_min * kMsPerMinute);
    const sys_days day(floor<days>(local));
    const year_month_day date(day);
    const hh_mm_ss<milliseconds> time(local - day.time_since_epoch());
    CivilTime fields;
    fields.year = static_cast<int>(date.year());
    fields.month = static_cast<int>(static_cast<unsigned>(date.month()));
    fields.day = static_cast<int>(static_cast<unsigned>(date.day()));
    fields.hour = static_cast<int>(time.hours().count());
    fields.minute = static_cast<int>(time.minutes().count());
    fields.second = static_cast<int>(time.seconds().count());
    fields.ms = static_cast<int>(time.subseconds().count());
    fields.weekday = static_cast<int>(weekday(day).c_encoding());
    return fields;
}

Stamp stamp_of(const CivilTime& fields, int offset_min) {
    using namespace std::chrono;
    const year_month_day date(year(fields.year), month(static_cast<unsigned>(fields.month)),
                              day(static_cast<unsigned>(fields.day)));
    TB_CHECK(date.ok());
    TB_CHECK(fields.hour >= 0 && fields.hour < 24 && fields.minute >= 0 && fields.minute < 60);
    TB_CHECK(fields.second >= 0 && fields.second < 60 && fields.ms >= 0 && fields.ms < 1000);
    const milliseconds local = sys_days(date).time_since_epoch() + hours(fields.hour) + minutes(fields.minute) +
                               seconds(fields.second) + milliseconds(fields.ms);
    return {std::int64_t{local.count()} - offset_min * kMsPerMinute, offset_min};
}

Stamp SystemClock::now() const {
    using namespace std::chrono;
    const std::int64_t utc_ms = floor<milliseconds>(system_clock::now().time_since_epoch()).count();
    return {utc_ms, local_offset_min(utc_ms)};
}

BootTime SystemClock::boot() const {
    static const std::string boot_id = read_boot_id();
    return {boot_ms(), boot_id};
}

AsOfClock::AsOfClock(Stamp as_of) : as_of_(as_of), started_boot_ms_(boot_ms()) {}

Stamp AsOfClock::now() const {
    return {as_of_.utc_ms + boot_ms() - started_boot_ms_, as_of_.offset_min};
}

BootTime AsOfClock::boot() const {
    return SystemClock{}.boot();
}

void HandClock::advance(double seconds) {
    const Stamp before = now_;
    now_ = plus_seconds(now_, seconds);
    boot_.ms += now_.utc_ms - before.utc_ms;
}

void HandClock::restart(double seconds_off) {
    constexpr std::int64_t kStartUpMs = 1000;
    now_ = plus_seconds(now_, seconds_off);
    ++boots_;
    boot_ = {kStartUpMs, "boot-" + std::to_string(boots_)};
}

}  // namespace tonebath
