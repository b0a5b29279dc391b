#include "science/coat_plan.hpp"
#include "science/paired.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;

TEST_CASE("the loop over the rows is itself the wait: 36 stones, 25 s each, three coats, ten minutes") {
    const CoatAsk ask{.stones = 36, .coats = 3, .each_s = 25.0, .wait_s = 600.0, .cure_s = 12 * 3600.0};
    const CoatPlan plan = coat_plan(ask);
    CHECK(plan.loop_s == 900.0);
    CHECK(plan.idle_s == 0.0);
    CHECK(plan.coats_s == 2700.0);
    CHECK(plan.bath_s == 2700.0 + 43200.0);
    // No stone meets its next coat before its wait is over, and hands never rest: start to start 25 s throughout.
    for (int place = 1; place <= ask.stones; ++place) {
        CHECK(coat_begins_s(ask, place, 2) - coat_begins_s(ask, place, 1) >= ask.wait_s);
    }
    CHECK(coat_begins_s(ask, 1, 2) - coat_begins_s(ask, 36, 1) == 25.0);
}

TEST_CASE("few stones wait: the round is the wait and the idle time is said") {
    // By hand: 6 x 25 = 150 s of work, 450 s idle, two waits and one loop in all.
    const CoatPlan plan = coat_plan({.stones = 6, .coats = 3, .each_s = 25.0, .wait_s = 600.0, .cure_s = 0.0});
    CHECK(plan.round_s == 600.0);
    CHECK(plan.idle_s == 450.0);
    CHECK(plan.coats_s == 2 * 600.0 + 150.0);
    CHECK(coat_plan({.stones = 6, .coats = 1, .each_s = 25.0, .wait_s = 600.0, .cure_s = 0.0}).idle_s == 0.0);
}

TEST_CASE("dew points as worked by hand from the published form") {
    // 21 °C and 45 %: 8.6 °C; 17 °C and 78 %: 13.1 °C (Magnus form, WMO constants; common sets agree to 0.03 °C).
    CHECK_THAT(dew_point_c(21.0, 45.0), WithinAbs(8.6, 0.05));
    CHECK_THAT(room_air(21.0, 45.0).margin_c, WithinAbs(12.4, 0.05));
    CHECK_THAT(dew_point_c(17.0, 78.0), WithinAbs(13.1, 0.05));
    CHECK_THAT(room_air(17.0, 78.0).margin_c, WithinAbs(3.9, 0.05));
    CHECK_THAT(dew_point_c(12.5, 100.0), WithinAbs(12.5, 1e-9));  // the definition
}

TEST_CASE("the two rules are told apart") {
    // 14 °C, 82 %: neither. 30 °C, 60 %: humidity met, margin (8.6) not.
    CHECK_FALSE(room_air(14.0, 82.0).humidity_met);
    CHECK_FALSE(room_air(14.0, 82.0).margin_met);
    CHECK(room_air(30.0, 60.0).humidity_met);
    CHECK_FALSE(room_air(30.0, 60.0).margin_met);
    CHECK(room_air(21.0, 45.0).humidity_met);
    CHECK(room_air(21.0, 45.0).margin_met);
    CHECK(room_air(20.0, 65.0).humidity_met);  // "not above 65 %"
}

TEST_CASE("drying: ten degrees colder is about 1.6 to 1.8 times slower, and the same air changes nothing") {
    const DryingFactor colder = drying_factor(15.0, 25.0);
    CHECK_THAT(colder.low, WithinAbs(1.6, 0.06));
    CHECK_THAT(colder.high, WithinAbs(1.8, 0.06));
    CHECK(drying_factor(20.0, 20.0).low == 1.0);
    CHECK(drying_factor(30.0, 20.0).high < 1.0);
    CHECK(drying_factor(30.0, 20.0).low < drying_factor(30.0, 20.0).high);
}

TEST_CASE("film: 161 µm wet at 62 % solids is 100 µm dry") {
    CHECK_THAT(dry_film_um(161.0, 62.0), WithinAbs(100.0, 0.5));  // ASTM D4414 practice, quoted
    CHECK_THAT(dry_film_um(161.0 * 1.25, 62.0, 0.25), WithinAbs(100.0, 0.5));
}

TEST_CASE("cover: the edge of a 14 mm stone is 7 mm from its point") {
    CHECK(cover_of(12.0) == Cover::whole_back);
    CHECK(cover_of(14.0) == Cover::most_of_back);
    CHECK(cover_of(18.0) == Cover::part_of_back);
}

TEST_CASE("means within pairs and of unpaired groups, by hand") {
    // Differences -1, -2, -3, -2, -2: mean -2, sd sqrt(2/4); t(4) at 95 % 2.7764 (any table).
    const auto paired = mean_range(std::vector<double>{-1.0, -2.0, -3.0, -2.0, -2.0});
    REQUIRE(paired);
    CHECK_THAT(paired->mean, WithinAbs(-2.0, 1e-12));
    CHECK_THAT(paired->sd, WithinAbs(0.70710678, 1e-8));
    CHECK_THAT(paired->high, WithinAbs(-2.0 + 2.776445 * 0.70710678 / std::sqrt(5.0), 1e-6));
    CHECK_THAT(paired->low, WithinAbs(-2.0 - 2.776445 * 0.70710678 / std::sqrt(5.0), 1e-6));
    // Equal spreads and sizes: Welch's degrees of freedom are 2 (n - 1) = 8, t 2.306004; se sqrt(2 * 2.5/5) = 1.
    const auto apart = group_difference(std::vector<double>{1.0, 2.0, 3.0, 4.0, 5.0}, std::vector<double>{3.0, 4.0, 5.0, 6.0, 7.0});
    REQUIRE(apart);
    CHECK_THAT(apart->mean, WithinAbs(-2.0, 1e-12));
    CHECK_THAT(apart->high, WithinAbs(0.306004, 1e-6));
    CHECK_FALSE(mean_range(std::vector<double>{1.0}));
    CHECK_FALSE(group_difference(std::vector<double>{1.0, 2.0}, std::vector<double>{1.0}));
}
