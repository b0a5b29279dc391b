#include "science/strip_plan.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath::science;
using Catch::Matchers::WithinRel;

TEST_CASE("three strips from 20 to 80 s: 20, 40, 80") {
    const auto times = bracketing_times_s(20.0, 80.0, 3).value();
    REQUIRE(times.size() == 3);
    CHECK(times[0] == 20.0);
    CHECK_THAT(times[1], WithinRel(40.0, 1e-12));
    CHECK(times[2] == 80.0);
}

TEST_CASE("strips stand in even ratio from end to end") {
    for (std::size_t strips = 2; strips <= 20; ++strips) {
        const auto times = bracketing_times_s(7.0, 300.0, strips).value();
        REQUIRE(times.size() == strips);
        CHECK(times.front() == 7.0);
        CHECK(times.back() == 300.0);
        for (std::size_t i = 2; i < strips; ++i) {
            CHECK_THAT(times[i] / times[i - 1], WithinRel(times[1] / times[0], 1e-9));
        }
    }
    CHECK_THAT(bracketing_times_s(20.0, 80.0, 1).value().front(), WithinRel(40.0, 1e-12));
}

TEST_CASE("no plan without strips or without a bracket") {
    CHECK_FALSE(bracketing_times_s(20.0, 80.0, 0));
    CHECK_FALSE(bracketing_times_s(20.0, 80.0, 21));
    CHECK_FALSE(bracketing_times_s(80.0, 20.0, 3));
    CHECK_FALSE(bracketing_times_s(20.0, 20.0, 3));
    CHECK_FALSE(bracketing_times_s(0.0, 80.0, 3));
    CHECK_FALSE(bracketing_times_s(std::nan(""), 80.0, 3));
    CHECK(is_bracketed(40.0, 20.0, 80.0));
    CHECK(is_bracketed(80.0, 20.0, 80.0));
    CHECK_FALSE(is_bracketed(90.0, 20.0, 80.0));
    CHECK_FALSE(is_bracketed(std::nan(""), 20.0, 80.0));
    CHECK_FALSE(is_bracketed(40.0, 80.0, 20.0));
}
