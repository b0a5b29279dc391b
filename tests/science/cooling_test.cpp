#include "science/cooling.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <cmath>
#include <random>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();

std::vector<Reading> newton_readings(double start_c, double room_c, double k_per_min,
                                     const std::vector<double>& minutes) {
    std::vector<Reading> readings;
    for (const double m : minutes) {
        readings.push_back({60.0 * m, room_c + (start_c - room_c) * std::exp(-k_per_min * m)});
    }
    return readings;
}

const std::vector<Reading> kThree = {{0.0, 60.0}, {240.0, 55.6}, {480.0, 51.7}};

TempCurve curve_of(const std::vector<Reading>& readings, double room_c) {
    return temp_curve(readings, {.room_c = room_c}).value();
}

}  // namespace

TEST_CASE("her readings alone give the constant of the three-reading example") {
    // 60.0, 55.6, 51.7 °C at 0, 4, 8 min in a 19 °C room: 0.0283 +- 0.0005 /min (computed by hand from two logarithms).
    const CoolingFit fit = fit_readings_alone(kThree, 19.0).value();
    CHECK_THAT(fit.k_per_min, WithinAbs(0.0283, 0.0005));
    // log(41 / 32.7) / 8 = 0.02827: the middle reading bears almost no weight on the slope.
    CHECK_THAT(fit.k_per_min, WithinAbs(std::log(41.0 / 32.7) / 8.0, 5e-5));
    CHECK(fit.readings == 3);
    CHECK(fit.residual_sd_c < 0.05);
    CHECK(fit.low_per_min < 0.0283);
    CHECK(fit.high_per_min > 0.0283);
    // sd of k from 0.3 °C on the readings: by propagation through log(41/32.7)/8, about 0.0014 /min.
    CHECK_THAT(fit.log_sd * fit.k_per_min, WithinRel(0.3 / 8.0 * std::hypot(1.0 / 41.0, 1.0 / 32.7), 0.1));
}

TEST_CASE("a fit without noise gives back the constant it was made with") {
    for (const double k : {0.010, 0.035, 0.037, 0.045, 0.07}) {  // the second and fourth: demo vessels; 0.037: one cup
        const auto readings = newton_readings(58.0, 18.0, k, {0.0, 3.0, 9.0, 14.0});
        CHECK_THAT(fit_readings_alone(readings, 18.0).value().k_per_min, WithinRel(k, 1e-6));
    }
}

TEST_CASE("the curve passes exactly through every reading") {
    CHECK(rc::check("through readings", [] {
        const auto count = *rc::gen::inRange<std::size_t>(1, 9);
        std::vector<Reading> readings;
        double t_s = *rc::gen::inRange(0, 600);
        for (std::size_t i = 0; i < count; ++i) {
            readings.push_back({t_s, *rc::gen::inRange(5, 950) / 10.0, *rc::gen::inRange(0, 4) == 0});
            t_s += *rc::gen::inRange(1, 1800);
        }
        const TempCurve curve = curve_of(readings, *rc::gen::inRange(-5, 40));
        for (const Reading& r : readings) {
            RC_ASSERT(std::abs(curve.temp_c(r.t_s) - r.temp_c) < 1e-9);
            RC_ASSERT(std::abs(curve.sd_c(r.t_s) - 0.3) < 1e-9);
        }
        for (int minute = -30; minute < 600; ++minute) {
            RC_ASSERT(std::isfinite(curve.temp_c(60.0 * minute)));
            RC_ASSERT(std::isfinite(curve.sd_c(60.0 * minute)));
        }
    }));
}

TEST_CASE("between two readings the curve is Newton's own, whatever the prior says") {
    const auto readings = newton_readings(60.0, 19.0, 0.06, {0.0, 10.0});
    const TempCurve curve = curve_of(readings, 19.0);
    CHECK_THAT(curve.temp_c(300.0), WithinAbs(19.0 + 41.0 * std::exp(-0.06 * 5.0), 1e-9));
}

TEST_CASE("after the last reading the fitted constant carries on, with doubt that never shrinks") {
    const TempCurve curve = curve_of(kThree, 19.0);
    const double k = curve.fit().k_per_min;
    CHECK_THAT(curve.temp_c(480.0 + 600.0), WithinAbs(19.0 + 32.7 * std::exp(-10.0 * k), 1e-9));
    CHECK(curve.last_reading_s().value() == 480.0);
    double before = curve.sd_c(480.0);
    for (double t = 490.0; t < 30000.0; t += 10.0) {
        const double now = curve.sd_c(t);
        REQUIRE(now >= before);
        before = now;
    }
    CHECK(curve.sd_c(480.0 + 1500.0) > 2.0 * curve.sd_c(480.0));
}

TEST_CASE("with one reading the vessel's usual constant holds, and its wide range") {
    const TempCurve curve = curve_of({{0.0, 60.0}}, 20.0);
    CHECK_THAT(curve.fit().k_per_min, WithinRel(0.025, 1e-3));
    CHECK_THAT(curve.fit().low_per_min, WithinRel(0.025 * std::exp(-1.96 * 0.4), 0.01));
    CHECK_THAT(curve.fit().high_per_min, WithinRel(0.025 * std::exp(1.96 * 0.4), 0.01));
    CHECK(curve.fit().readings == 0);
}

TEST_CASE("few readings are drawn to the vessel's usual constant, many are not") {
    const auto fitted = [](const std::vector<double>& minutes) {
        return curve_of(newton_readings(60.0, 20.0, 0.06, minutes), 20.0).fit();
    };
    const CoolingFit two = fitted({0.0, 0.5});
    const CoolingFit many = fitted({0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0});
    CHECK(two.k_per_min > 0.025);
    CHECK(two.k_per_min < 0.055);
    CHECK_THAT(many.k_per_min, WithinRel(0.06, 0.01));
    CHECK(many.log_sd < 0.2 * two.log_sd);
}

TEST_CASE("a reheat starts a new stretch with the same constant") {
    std::vector<Reading> readings = newton_readings(60.0, 20.0, 0.03, {0.0, 5.0, 10.0});
    for (Reading r : newton_readings(62.0, 20.0, 0.03, {0.0, 6.0})) {
        r.jump = r.t_s == 0.0;
        r.t_s += 900.0;
        readings.push_back(r);
    }
    const TempCurve curve = curve_of(readings, 20.0);
    REQUIRE(curve.segments().size() == 2);
    CHECK(curve.segments()[0].readings == 3);
    CHECK(curve.segments()[0].end_s == 900.0);
    CHECK(curve.segments()[1].start_s == 900.0);
    CHECK(curve.segments()[1].readings == 2);
    CHECK(curve.segments()[1].first_temp_c == 62.0);
    CHECK_THAT(curve.fit().k_per_min, WithinRel(0.03, 0.01));

    SECTION("when it happened is not known: cooling on until the reading, in wide doubt") {
        CHECK(curve.temp_c(899.0) < 47.0);
        CHECK(std::abs(curve.temp_c(900.0) - 62.0) < 1e-9);
        CHECK(curve.sd_c(890.0) > 10.0);
    }
    SECTION("when it happened is known: the curve follows") {
        readings[3].jump_at_s = 700.0;
        const TempCurve known = curve_of(readings, 20.0);
        CHECK(known.temp_c(699.0) < 50.0);
        CHECK_THAT(known.temp_c(700.0), WithinRel(20.0 + 42.0 * std::exp(known.fit().k_per_min * 200.0 / 60.0), 1e-9));
        CHECK(known.segments()[1].start_s == 700.0);
        CHECK(known.sd_c(890.0) < 1.0);
    }
    SECTION("a moment outside the gap counts as not known") {
        readings[3].jump_at_s = 100.0;
        CHECK(curve_of(readings, 20.0).segments()[1].start_s == 900.0);
    }
    SECTION("without the mark, the two stretches would have been one odd one") {
        readings[3].jump = false;
        const TempCurve odd = curve_of(readings, 20.0);
        CHECK(odd.segments().size() == 1);
        CHECK(odd.fit().residual_sd_c > 3.0);
    }
}

TEST_CASE("a room hotter than the bath warms it") {
    const auto readings = newton_readings(12.0, 30.0, 0.03, {0.0, 5.0, 10.0});
    const TempCurve curve = curve_of(readings, 30.0);
    CHECK(curve.temp_c(1200.0) > curve.temp_c(600.0));
    CHECK(curve.temp_c(36000.0) < 30.0);
    CHECK_THAT(fit_readings_alone(readings, 30.0).value().k_per_min, WithinRel(0.03, 1e-6));
    CHECK(curve.temp_c(-36000.0) >= 0.0);
}

TEST_CASE("carried backward the bath never boils") {
    const TempCurve curve = curve_of({{1200.0, 70.0}}, 20.0);
    CHECK(curve.temp_c(0.0) > 70.0);
    CHECK(curve.temp_c(0.0) <= 100.0);
    CHECK(curve.temp_c(-1e6) == 100.0);
}

TEST_CASE("equal times are averaged and order does not matter") {
    const TempCurve a = curve_of({{0.0, 60.0}, {300.0, 54.0}, {300.0, 55.0}, {600.0, 50.0}}, 19.0);
    const TempCurve b = curve_of({{600.0, 50.0}, {300.0, 55.0}, {0.0, 60.0}, {300.0, 54.0}}, 19.0);
    CHECK_THAT(a.temp_c(300.0), WithinAbs(54.5, 1e-9));
    CHECK_THAT(b.temp_c(450.0), WithinAbs(a.temp_c(450.0), 1e-9));
}

TEST_CASE("readings that cannot be are refused with their reason") {
    const Surroundings room{.room_c = 20.0};
    const auto why = [&](std::vector<Reading> readings, Surroundings around) {
        return temp_curve(readings, around).why();
    };
    CHECK(why({}, room) == CoolingWhy::no_readings);
    CHECK(why({{0.0, kNan}}, room) == CoolingWhy::not_a_number);
    CHECK(why({{kInf, 50.0}}, room) == CoolingWhy::not_a_number);
    CHECK(why({{0.0, 150.0}}, room) == CoolingWhy::not_water);
    CHECK(why({{0.0, 140.0}}, room) == CoolingWhy::not_water);  // 60 °C typed in °F
    CHECK(why({{0.0, 50.0}}, {.room_c = 90.0}) == CoolingWhy::room_out_of_range);
    CHECK(why({{0.0, 50.0}}, {.room_c = kNan}) == CoolingWhy::not_a_number);
    CHECK(why({{0.0, 50.0}}, {.reading_sd_c = 0.0}) == CoolingWhy::not_a_number);
    CHECK(why({{0.0, 50.0}}, {.vessel = {.k_per_min = -0.02}}) == CoolingWhy::not_a_number);
    CHECK(why({{0.0, 50.0}}, {.vessel = {.log_sd = 0.0}}) == CoolingWhy::not_a_number);
    CHECK(fit_readings_alone(std::vector<Reading>{{0.0, 50.0}}, 20.0).why() == CoolingWhy::too_few_readings);
    CHECK(fit_readings_alone(std::vector<Reading>{{0.0, 20.1}, {600.0, 20.0}}, 20.0).why() ==
          CoolingWhy::no_difference);
    CHECK(fit_readings_alone(std::vector<Reading>{{0.0, 50.0}, {600.0, 55.0}}, 20.0).why() == CoolingWhy::not_cooling);
    CHECK_FALSE(minutes_to_reach(60.0, 70.0, 20.0, 0.03));
    CHECK_FALSE(minutes_to_reach(60.0, 10.0, 20.0, 0.03));
    CHECK_FALSE(minutes_to_reach(60.0, 50.0, 20.0, 0.0));
    CHECK_FALSE(minutes_to_reach(20.0, 20.0, 20.0, 0.03));
    CHECK_FALSE(k_from_two(60.0, 61.0, 20.0, 5.0));
}

TEST_CASE("over invented baths the ranges hold about as often as they say") {
    // 400 vessels drawn from the prior, three readings 4 min apart with 0.3 °C noise, room off by 1 °C: 95 of 100
    // ranges of k, and of the temperature 15 min after the last reading. Bounds: 3 binomial errors about 0.95, and no
    // upper bound on the temperature, whose doubt is meant to be on the wide side.
    std::mt19937_64 random(20250917);
    std::normal_distribution<double> normal;
    int k_held = 0;
    int temp_held = 0;
    constexpr int baths = 400;
    for (int i = 0; i < baths; ++i) {
        const double k = 0.025 * std::exp(0.4 * normal(random));
        const double room_c = 19.0 + normal(random);
        std::vector<Reading> readings = newton_readings(60.0, room_c, k, {0.0, 4.0, 8.0});
        for (Reading& r : readings) {
            r.temp_c += 0.3 * normal(random);
        }
        const TempCurve curve = curve_of(readings, 19.0);
        k_held += curve.fit().low_per_min <= k && k <= curve.fit().high_per_min ? 1 : 0;
        const double truth_c = room_c + (60.0 - room_c) * std::exp(-k * 23.0);
        temp_held += std::abs(curve.temp_c(23.0 * 60.0) - truth_c) <= 1.96 * curve.sd_c(23.0 * 60.0) ? 1 : 0;
    }
    CAPTURE(k_held, temp_held);
    CHECK(k_held >= 367);
    CHECK(k_held <= 393);
    CHECK(temp_held >= 367);
}
