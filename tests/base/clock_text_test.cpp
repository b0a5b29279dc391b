#include "base/clock.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <optional>
#include <string>

using namespace tonebath;

namespace {

// Tuesday 31 March 2026, 09:42:17.250, at +01:00 (weekday from the Gregorian calendar).
const Stamp kNow =
    stamp_of({.year = 2026, .month = 3, .day = 31, .hour = 9, .minute = 42, .second = 17, .ms = 250}, 60);

std::string iso_or_none(const std::optional<Stamp>& read) {
    return read ? iso_text(*read) : "none";
}

struct Row {
    std::string text, expected;
};

}  // namespace

TEST_CASE("a stamp is written for files and for the screen") {
    CHECK(iso_text(kNow) == "2026-03-31T09:42:17.250+01:00");
    CHECK(iso_text({0, 0}) == "1970-01-01T00:00:00.000+00:00");
    CHECK(iso_text({0, -210}) == "1969-12-31T20:30:00.000-03:30");
    CHECK(date_text(kNow) == "31 Mar 2026");
    CHECK(day_text(kNow) == "Tuesday 31 March");
    CHECK(time_text(kNow) == "09:42");
    CHECK(time_text_seconds(kNow) == "09:42:17");
    CHECK(date_time_text(kNow) == "31 Mar 09:42");
    CHECK(date_text({0, 0}) == "1 Jan 1970");
    CHECK(day_text({0, 0}) == "Thursday 1 January");
}

TEST_CASE("times from files are read") {
    const Row row = GENERATE(values<Row>({
        {"2026-03-31T09:42:00.000+01:00", "2026-03-31T09:42:00.000+01:00"},
        {"2026-03-31", "2026-03-31T00:00:00.000+02:00"},
        {"2026-03-31 09:42", "2026-03-31T09:42:00.000+02:00"},
        {"2026-03-31T09:42", "2026-03-31T09:42:00.000+02:00"},
        {"2026-03-31T09:42+01:00", "2026-03-31T09:42:00.000+01:00"},
        {"2026-03-31T08:42Z", "2026-03-31T08:42:00.000+00:00"},
        {"2026-03-31T08:42:59Z", "2026-03-31T08:42:59.000+00:00"},
        {"2026-03-31T08:42:59.5Z", "2026-03-31T08:42:59.500+00:00"},
        {"2026-03-31T08:42:59.05-09:30", "2026-03-31T08:42:59.050-09:30"},
        {"2024-02-29", "2024-02-29T00:00:00.000+02:00"},
        {"2000-02-29", "2000-02-29T00:00:00.000+02:00"},
        {"2026-12-31T23:59:59.999-14:00", "2026-12-31T23:59:59.999-14:00"},
    }));
    CHECK(iso_or_none(parse_iso(row.text, 120)) == row.expected);
}

TEST_CASE("what is no time of a file is not read") {
    const std::string text = GENERATE(values<std::string>({
        "",
        " ",
        "2026",
        "2026-03",
        "2026-3-31",
        "26-03-31",
        "2026/03/31",
        "31-03-2026",
        "2026-02-31",
        "2026-02-29",
        "1900-02-29",
        "2026-04-31",
        "2026-13-01",
        "2026-00-10",
        "2026-01-00",
        "0000-01-01",
        "12026-01-01",
        "2026-03-31 ",
        " 2026-03-31",
        "2026-03-31T",
        "2026-03-31T9:42",
        "2026-03-31T09",
        "2026-03-31T0942",
        "2026-03-31T24:00",
        "2026-03-31T09:60",
        "2026-03-31T09:42:60",
        "2026-03-31T09:42:",
        "2026-03-31T09:42:00.",
        "2026-03-31T09:42:00.1234",
        "2026-03-31T09:42+1:00",
        "2026-03-31T09:42+0100",
        "2026-03-31T09:42+14:01",
        "2026-03-31T09:42+01:60",
        "2026-03-31T09:42 +01:00",
        "2026-03-31+01:00",
        "2026-03-31T09:42ZZ",
        "2026-03-31T09:42Z+01:00",
        "2026-03-31X09:42",
        "２０２６-03-31",
        "2026-03-31T-9:42",
        "+2026-03-31",
    }));
    CAPTURE(text);
    CHECK_FALSE(parse_iso(text, 60).has_value());
    CHECK_FALSE(parse_iso(std::string("2026-03-31\0", 11), 60).has_value());
}

TEST_CASE("moments are read as people type them") {
    const Row row = GENERATE(values<Row>({
        {"now", "2026-03-31T09:42:17.250+01:00"},
        {" NOW ", "2026-03-31T09:42:17.250+01:00"},
        {"today", "2026-03-31T00:00:00.000+01:00"},
        {"today 8:05", "2026-03-31T08:05:00.000+01:00"},
        {"Yesterday", "2026-03-30T00:00:00.000+01:00"},
        {"yesterday 17:30", "2026-03-30T17:30:00.000+01:00"},
        {"09:42", "2026-03-31T09:42:00.000+01:00"},
        {"9:42", "2026-03-31T09:42:00.000+01:00"},
        {"09:42:17", "2026-03-31T09:42:17.000+01:00"},
        {"23:59", "2026-03-31T23:59:00.000+01:00"},
        {"31 Mar 2026", "2026-03-31T00:00:00.000+01:00"},
        {"31 MARCH 2026", "2026-03-31T00:00:00.000+01:00"},
        {"1 sept 2025", "2025-09-01T00:00:00.000+01:00"},
        {"31 Mar 2026 09:42", "2026-03-31T09:42:00.000+01:00"},
        {"31  Mar\u00A02026 09:42", "2026-03-31T09:42:00.000+01:00"},
        {"31 March", "2026-03-31T00:00:00.000+01:00"},
        {"31 Mar 09:42", "2026-03-31T09:42:00.000+01:00"},
        {"Tuesday 31 March", "2026-03-31T00:00:00.000+01:00"},
        {"Tue, 31 Mar 2026", "2026-03-31T00:00:00.000+01:00"},
        {"29 Feb 2024", "2024-02-29T00:00:00.000+01:00"},
        {"10 min ago", "2026-03-31T09:32:17.250+01:00"},
        {"10min ago", "2026-03-31T09:32:17.250+01:00"},
        {"2 h ago", "2026-03-31T07:42:17.250+01:00"},
        {"1,5 h ago", "2026-03-31T08:12:17.250+01:00"},
        {"1 h 30 min ago", "2026-03-31T08:12:17.250+01:00"},
        {"3 days ago", "2026-03-28T09:42:17.250+01:00"},
        {"2 weeks ago", "2026-03-17T09:42:17.250+01:00"},
        {"2026-03-31", "2026-03-31T00:00:00.000+01:00"},
        {" 2026-03-31 09:42 ", "2026-03-31T09:42:00.000+01:00"},
        {"2026-03-31T08:42Z", "2026-03-31T08:42:00.000+00:00"},
    }));
    CAPTURE(row.text);
    CHECK(iso_or_none(parse_moment(row.text, kNow)) == row.expected);
}

TEST_CASE("moments that are not certain are not guessed") {
    const std::string text = GENERATE(values<std::string>({
        "",
        "  ",
        "tomorrow",
        "soon",
        "31",
        "March",
        "31/03/2026",
        "03/31/2026",
        "31.3.2026",
        "31 Feb 2026",
        "29 February",
        "0 Mar",
        "32 Mar",
        "31 Mar 26",
        "Mar 31 2026",
        "Monday 31 March",
        "Tuesday",
        "9",
        "942",
        "25:00",
        "09:60",
        "9:4",
        "10 ago",
        "ago",
        "-10 min ago",
        "x min ago",
        "1:20 ago",
        "10 min",
        "in 10 min",
        "now 09:42",
        "09:42 now",
        "today today",
        "yesterday 9",
        "31 Mar 2026 09:42 x",
        "31 Ma",
        "31 Marchy",
        "10 min ago ago",
        "１０ min ago",
        "今日",
    }));
    CAPTURE(text);
    CHECK(iso_or_none(parse_moment(text, kNow)) == "none");
    CHECK_FALSE(parse_moment(std::string("now\0", 4), kNow).has_value());
    CHECK_FALSE(parse_moment(std::string(10'000, '9'), kNow).has_value());
}

TEST_CASE("yesterday is the day before across a month, a year and the offset") {
    CHECK(iso_or_none(parse_moment("yesterday", stamp_of({.year = 2026, .month = 1, .day = 1}, 840))) ==
          "2025-12-31T00:00:00.000+14:00");
    CHECK(iso_or_none(parse_moment("yesterday", stamp_of({.year = 2024, .month = 3, .day = 1, .hour = 23}, -600))) ==
          "2024-02-29T00:00:00.000-10:00");
}

TEST_CASE("the screen's own dates are read back") {
    CHECK(rc::check("date and time of the screen", [] {
        const Stamp at = plus_seconds(kNow, *rc::gen::inRange(-7'000'000, 20'000'000));
        const std::optional<Stamp> read = parse_moment(date_text(at) + " " + time_text_seconds(at), kNow);
        RC_ASSERT(read.has_value());
        RC_ASSERT(read->utc_ms / 1000 == at.utc_ms / 1000);
        const std::optional<Stamp> day = parse_moment(day_text(at), at);
        RC_ASSERT(day.has_value());
        RC_ASSERT(date_text(*day) == date_text(at));
    }));
}

TEST_CASE("any text at all is a moment or none") {
    CHECK(rc::check("any text", [](const std::string& text) {
        const std::optional<Stamp> read = parse_moment(text, kNow);
        if (read) {
            RC_ASSERT(iso_text(*read).size() == 29U);
        }
    }));
}
