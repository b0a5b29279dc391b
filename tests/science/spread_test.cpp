#include "science/spread.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;

namespace {

using Values = std::vector<std::optional<double>>;
constexpr double kReadingSd = 0.5;

}  // namespace

TEST_CASE("eight pieces with one far off: that one is odd and only that one") {
    // L* 33, 33, 34, 34, 35, 35, 36, 24: median 34, MAD 1 (by hand).
    const BatchSpread s = batch_spread(Values{33.0, 33.0, 34.0, 34.0, 35.0, 35.0, 36.0, 24.0}, kReadingSd).value();
    CHECK(s.median == 34.0);
    CHECK(s.mad == 1.0);
    CHECK(s.odd == std::vector<std::size_t>{7});
    CHECK(s.known == 8);
    CHECK(s.mean == 33.0);
    CHECK(s.least == 24.0);
    CHECK(s.most == 36.0);
    CHECK_THAT(s.robust_sd, WithinAbs(1.4826, 1e-12));
}

TEST_CASE("unknown pieces are counted, not taken for equal") {
    const BatchSpread s = batch_spread(Values{33.0, std::nullopt, 34.0, 35.0, 34.0, 50.0}, kReadingSd).value();
    CHECK(s.unknown == 1);
    CHECK(s.odd == std::vector<std::size_t>{5});  // the place in the list given
}

TEST_CASE("pieces that read alike are not odd for less than the reading's error") {
    const Values alike = {34.0, 34.0, 34.0, 34.0, 35.5};
    CHECK(batch_spread(alike, 0.5).value().odd.empty());
    CHECK(batch_spread(alike, 0.4).value().odd == std::vector<std::size_t>{4});
}

TEST_CASE("of too few there is nothing to say") {
    CHECK_FALSE(batch_spread(Values{}, kReadingSd));
    CHECK_FALSE(batch_spread(Values{34.0}, kReadingSd));
    CHECK_FALSE(batch_spread(Values{std::nullopt, std::nullopt, std::nullopt}, kReadingSd));
    CHECK_FALSE(batch_spread(Values{34.0, std::nan(""), 35.0}, kReadingSd));
    CHECK_FALSE(batch_spread(Values{34.0, 35.0}, -1.0));
    CHECK(batch_spread(Values{34.0, 34.0, 60.0}, kReadingSd).value().odd.empty());  // which of three?
}

TEST_CASE("less than half of the pieces cannot hide by agreeing") {
    CHECK(rc::check("odd ones found, shifted or mirrored alike", [] {
        const auto good = *rc::gen::inRange<std::size_t>(4, 12);
        const auto bad = *rc::gen::inRange<std::size_t>(1, good - 1);
        const double shift = *rc::gen::inRange(-50, 50);
        const double sign = *rc::gen::element(1.0, -1.0);
        Values values;
        for (std::size_t i = 0; i < good; ++i) {
            values.push_back(sign * (30.0 + static_cast<double>(i % 3)) + shift);
        }
        for (std::size_t i = 0; i < bad; ++i) {
            values.push_back(sign * 80.0 + shift);
        }
        const BatchSpread s = batch_spread(values, kReadingSd).value();
        RC_ASSERT(s.odd.size() == bad);
        RC_ASSERT(s.odd.front() == good);
    }));
}
