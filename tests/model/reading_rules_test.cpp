#include "model/rules/reading_rules.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath;

namespace {

const Stamp kStart = *parse_iso("2026-03-31T09:00+01:00", 0);

struct Cup {
    Bath bath;
    rules::ReadingFacts facts;
    explicit Cup(double last_c, double minutes_ago, double room_c = 19.0) {
        bath.number = "1";
        bath.made_up_at = kStart;
        bath.room_temp = Celsius::from_celsius(room_c);
        facts.bath = &bath;
        facts.now = plus_seconds(kStart, minutes_ago * 60.0);
        facts.before = rules::KnownTemp{.at = kStart, .temp = Celsius::from_celsius(last_c)};
    }
    [[nodiscard]] std::string code(double temp_c, std::optional<bool> reheated = std::nullopt) const {
        const rules::Question question =
            rules::reading_temp({"Temperature", "x"}, Celsius::from_celsius(temp_c), facts.now, reheated, facts, {});
        return question ? question->code : "";
    }
};

}  // namespace

TEST_CASE("A reading is let through where a bath may stand") {
    // Newton at 0.025 /min: 60.0 in a 19 °C room is 51.9 after 9 min.
    const Cup cup(60.0, 9.0);
    CHECK(cup.code(51.9).empty());
    CHECK(cup.code(55.0).empty());
    CHECK(cup.code(45.0).empty());
    CHECK(cup.code(61.0) == "reading.hotter");
    CHECK(cup.code(60.9).empty() == false);  // not cooled at all
    CHECK(cup.code(22.0) == "reading.rinse_bowl");
    CHECK(cup.code(75.0, true).empty());
    CHECK(cup.code(75.0, false) == "reading.hotter");
}

TEST_CASE("A water bath may hold its heat") {
    Cup cup(60.0, 40.0);
    CHECK(cup.code(59.0) == "reading.stale");
    Vessel vessel;
    vessel.kind = "bowl in a Water bath";
    cup.facts.vessel = &vessel;
    CHECK(cup.code(59.0).empty());
}

TEST_CASE("Whatever cools at a usual rate is never asked about") {
    // Cups and open pans: 0.037 and about 0.07 per minute (two published accounts); 0.010 for a covered one.
    CHECK(rc::check("constants of 0.010 to 0.070 per minute pass", [] {
        const double k = *rc::gen::inRange(100, 701) / 1e4;
        const double start = *rc::gen::inRange(350, 901) / 10.0;
        const double minutes = *rc::gen::inRange(0, 60);
        const Cup cup(start, minutes);
        const double temp = 19.0 + (start - 19.0) * std::exp(-k * minutes);
        RC_ASSERT(cup.code(temp) == "");
    }));
}
