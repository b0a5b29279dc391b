// Time. Only this part of the program asks the system what time it is; everything else is handed a Clock.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace tonebath {

// A moment in UTC with the offset of the place where it was written down.
struct Stamp {
    std::int64_t utc_ms = 0;  // milliseconds since 1970-01-01T00:00Z, leap seconds not counted
    int offset_min = 0;       // minutes east of UTC, -840..840

    // Order and equality are of the moment alone.
    friend bool operator==(const Stamp& a, const Stamp& b) { return a.utc_ms == b.utc_ms; }
    friend std::strong_ordering operator<=>(const Stamp& a, const Stamp& b) { return a.utc_ms <=> b.utc_ms; }
};

// A reading of the clock that runs through sleep but not through a restart (CLOCK_BOOTTIME).
struct BootTime {
    std::int64_t ms = 0;
    std::string boot_id;  // changes at every start of the machine; equal ids make `ms` comparable

    friend bool operator==(const BootTime&, const BootTime&) = default;
};

[[nodiscard]] double seconds_between(const Stamp& from, const Stamp& to);
// To the nearest millisecond, keeping the offset; never beyond the years 1 and 9999. `seconds` must not be NaN.
[[nodiscard]] Stamp plus_seconds(const Stamp& from, double seconds);

// Calendar fields at the stamp's own offset.
struct CivilTime {
    int year = 1970, month = 1, day = 1, hour = 0, minute = 0, second = 0, ms = 0;
    int weekday = 4;  // 0 = Sunday
};
[[nodiscard]] CivilTime civil(const Stamp& at);
// utc_ms of the calendar fields read at `offset_min`. Fields must be in range; the weekday is not looked at.
[[nodiscard]] Stamp stamp_of(const CivilTime& fields, int offset_min);

// "2026-03-31T09:42:00.000+01:00": exact, for files.
[[nodiscard]] std::string iso_text(const Stamp& at);
// Reads iso_text, and "2026-03-31", "2026-03-31 09:42", "2026-03-31T09:42+01:00", "2026-03-31T08:42Z". A missing time
// is 00:00, a missing offset is `offset_min`. Seconds may follow the minutes, with up to three digits after the point.
// nullopt for anything else, 31 February included.
[[nodiscard]] std::optional<Stamp> parse_iso(std::string_view text, int offset_min);
// What people type: all of parse_iso, "09:42" (on the day of `now`), "now", "today", "yesterday", "31 Mar 2026",
// "31 Mar 2026 09:42", "31 March", "31 Mar 09:42", "Tuesday 31 March", "yesterday 09:42", "10 min ago", "2 h ago",
// "3 days ago". At the offset of `now`; a missing time is 00:00, a missing year that of `now`, a weekday must fit.
[[nodiscard]] std::optional<Stamp> parse_moment(std::string_view text, const Stamp& now);
// For the screen: "31 Mar 2026", "Tuesday 31 March", "09:42", "09:42:17", "31 Mar 09:42".
[[nodiscard]] std::string date_text(const Stamp& at);
[[nodiscard]] std::string day_text(const Stamp& at);
[[nodiscard]] std::string time_text(const Stamp& at);
[[nodiscard]] std::string time_text_seconds(const Stamp& at);
[[nodiscard]] std::string date_time_text(const Stamp& at);

class Clock {
public:
    virtual ~Clock() = default;
    [[nodiscard]] virtual Stamp now() const = 0;
    [[nodiscard]] virtual BootTime boot() const = 0;
};

// The machine's clock. The offset is the local one at that moment.
class SystemClock final : public Clock {
public:
    [[nodiscard]] Stamp now() const override;
    [[nodiscard]] BootTime boot() const override;
};

// Starts at a given moment and runs with the machine's boot clock from there: the demo studio's today.
class AsOfClock final : public Clock {
public:
    explicit AsOfClock(Stamp as_of);
    [[nodiscard]] Stamp now() const override;
    [[nodiscard]] BootTime boot() const override;

private:
    Stamp as_of_;
    std::int64_t started_boot_ms_;
};

// Turned by hand: for tests and for writing past days.
class HandClock final : public Clock {
public:
    explicit HandClock(Stamp start) : now_(start) {}
    [[nodiscard]] Stamp now() const override { return now_; }
    [[nodiscard]] BootTime boot() const override { return boot_; }
    // Both clocks move on together.
    void advance(double seconds);
    // The wall clock jumps alone (set back, summer time); the boot clock does not notice.
    void set_wall(Stamp now) { now_ = now; }
    // The machine restarts: a new boot id and a boot clock near zero; the wall clock moves on by `seconds_off`.
    void restart(double seconds_off);

private:
    Stamp now_;
    BootTime boot_{1'000'000, "boot-1"};
    int boots_ = 1;
};

}  // namespace tonebath
