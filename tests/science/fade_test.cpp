#include "science/fade.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

const std::vector<AgedStrip> kFive = {{0.0, 12.0}, {1.0, 14.0}, {2.0, 17.0}, {3.0, 20.0}, {4.0, 24.0}};
constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

std::vector<AgedStrip> made(FadeKind kind, double rate, const std::vector<double>& ages_h, double ripple) {
    std::vector<AgedStrip> strips;
    double sign = 1.0;
    for (const double h : ages_h) {
        const double slowing = kind == FadeKind::first_order ? rate * h : -std::log(1.0 - rate * h);
        strips.push_back({h, 15.0 * std::exp(slowing + sign * ripple)});
        sign = -sign;
    }
    return strips;
}

}  // namespace

TEST_CASE("five strips through a session: half-life, the time at 5 h, three times slower") {
    // Times 12, 14, 17, 20, 24 s at hours 0 to 4: half-life 3.98 h, 28.5 s at 5 h, three times slower at 6.3 h.
    const FadeLine line = fade_line(kFive, FadeKind::first_order).value();
    CHECK_THAT(line.half_life_h.value(), WithinAbs(3.98, 0.005));
    CHECK_THAT(time_at_age(line, 5.0).value().time_s, WithinAbs(28.5, 0.05));
    CHECK_THAT(slow_by_h(line).value(), WithinAbs(6.3, 0.01));
    // Limits from a separate computation of the textbook formulas, t with 3 degrees of freedom 3.182446.
    CHECK_THAT(line.residual_log_sd, WithinRel(0.01001377, 1e-5));
    CHECK_THAT(line.half_life_95.low.value(), WithinRel(3.759451, 1e-5));
    CHECK_THAT(line.half_life_95.high.value(), WithinRel(4.220863, 1e-5));
    CHECK_THAT(time_at_age(line, 5.0).value().limits_95.low, WithinRel(27.54056, 1e-5));
    CHECK_THAT(time_at_age(line, 5.0).value().limits_95.high, WithinRel(29.44450, 1e-5));
}

TEST_CASE("which law the strips favour") {
    SECTION("the five strips: first order, clearly") {
        const FadeChoice choice = compare_fade(kFive).value();
        CHECK(choice.favoured == FadeKind::first_order);
        CHECK_THAT(choice.zero_minus_first.value(), WithinAbs(18.59207 - 7.48721, 0.01));  // separate computation
        CHECK_THAT(choice.zero_order.rate_per_h, WithinAbs(0.124406, 1e-5));
    }
    SECTION("strips of a dying bath: zero order") {
        const auto strips = made(FadeKind::zero_order, 0.2, {0.0, 1.0, 2.0, 3.0, 4.0, 4.5}, 0.01);
        const FadeChoice choice = compare_fade(strips).value();
        CHECK(choice.favoured == FadeKind::zero_order);
        CHECK_THAT(choice.zero_order.rate_per_h, WithinAbs(0.2, 0.005));
        CHECK(choice.zero_order.rate_95.low < 0.2);
        CHECK(choice.zero_order.rate_95.high > 0.2);
    }
    SECTION("strips that do not slow down: none") {
        const auto strips = made(FadeKind::first_order, 0.0, {0.0, 1.0, 2.0, 3.0, 4.0, 5.0}, 0.05);
        CHECK(compare_fade(strips).value().favoured == FadeKind::none);
        CHECK(compare_fade(strips).value().fades == false);
    }
    SECTION("so little slowing that both laws look alike: it fades, but by which law cannot be told") {
        const FadeChoice choice =
            compare_fade(made(FadeKind::first_order, 0.1, {0, 0.5, 1, 1.5, 2, 2.5, 3}, 0.01)).value();
        CHECK_FALSE(choice.favoured);
        CHECK(choice.fades == true);
    }
    SECTION("too few strips: cannot tell") {
        const FadeChoice few = compare_fade(std::vector<AgedStrip>(kFive.begin(), kFive.begin() + 4)).value();
        CHECK_FALSE(few.favoured);
        CHECK_FALSE(few.fades);
        CHECK_FALSE(few.zero_minus_first);
    }
}

TEST_CASE("a law fitted to its own strips is found again") {
    for (const double rate : {0.02, 0.1, 0.19}) {
        const std::vector<double> ages = {0.5, 1.0, 3.0, 5.0};
        const FadeLine first = fade_line(made(FadeKind::first_order, rate, ages, 0.0), FadeKind::first_order).value();
        CHECK_THAT(first.rate_per_h, WithinRel(rate, 1e-9));
        CHECK_THAT(first.fresh_time_s, WithinRel(15.0, 1e-9));
        const FadeLine zero = fade_line(made(FadeKind::zero_order, rate, ages, 0.0), FadeKind::zero_order).value();
        CHECK_THAT(zero.rate_per_h, WithinRel(rate, 1e-6));
        CHECK_THAT(zero.half_life_h.value(), WithinRel(0.5 / rate, 1e-6));
        CHECK_THAT(slow_by_h(zero, 3.0).value(), WithinRel(2.0 / 3.0 / rate, 1e-6));
        CHECK(time_at_age(zero, 1.0 / rate + 0.01).why() == FadeWhy::bath_spent);
    }
}

TEST_CASE("two strips take their limits from their own error") {
    const FadeLine line = fade_line(std::vector<AgedStrip>{{0.0, 12.0}, {4.0, 24.0}}, FadeKind::first_order).value();
    CHECK(line.basis == LimitBasis::own_error);
    CHECK_THAT(line.half_life_h.value(), WithinRel(4.0, 1e-9));
    CHECK_THAT(line.rate_95.high - line.rate_per_h, WithinRel(1.95996 * 0.06 * std::sqrt(2.0) / 4.0, 1e-4));
}

TEST_CASE("a bath that may not fade has no upper limit to its half-life") {
    const FadeLine weak =
        fade_line(made(FadeKind::first_order, 0.01, {0.0, 1.0, 2.0, 3.0}, 0.05), FadeKind::first_order).value();
    CHECK_FALSE(weak.half_life_95.high);
    CHECK(weak.half_life_95.low);
    const FadeLine faster =
        fade_line(made(FadeKind::first_order, -0.1, {0.0, 1.0, 2.0}, 0.001), FadeKind::first_order).value();
    CHECK_FALSE(faster.half_life_h);
    CHECK_FALSE(slow_by_h(faster));
}

TEST_CASE("the age at which a share is left is where the strength is that share") {
    for (const FadeKind kind : {FadeKind::first_order, FadeKind::zero_order}) {
        const RateLaw law{.fade = kind, .fade_per_h = 0.17};
        for (const double left : {0.9, 0.5, 1.0 / 3.0}) {
            const auto age_h = age_at_strength_h(law, left);
            REQUIRE(age_h);
            CHECK_THAT(strength_left(*age_h, law), Catch::Matchers::WithinAbs(left, 1e-12));
        }
    }
    CHECK_FALSE(age_at_strength_h({}, 0.5));
    CHECK_FALSE(age_at_strength_h({.fade = FadeKind::first_order, .fade_per_h = 0.1}, 0.0));
}

TEST_CASE("a strip at another temperature is corrected before it counts") {
    // 78 s at 50 °C is 40 s at 60 °C by the law of the two strips.
    CHECK_THAT(time_at_temp(78.0, 50.0, 60.0, 59.78).value(), WithinAbs(40.0, 0.01));
    CHECK_FALSE(time_at_temp(-1.0, 50.0, 60.0, 59.78));
    CHECK_FALSE(time_at_temp(78.0, kNan, 60.0, 59.78));
}

TEST_CASE("strips that cannot give a fade are refused with their reason") {
    const auto why = [](const std::vector<AgedStrip>& strips) { return compare_fade(strips).why(); };
    CHECK(why({}) == FadeWhy::too_few);
    CHECK(why({{0.0, 12.0}}) == FadeWhy::too_few);
    CHECK(why({{1.0, 12.0}, {1.0, 13.0}}) == FadeWhy::one_age);
    CHECK(why({{-1.0, 12.0}, {1.0, 13.0}}) == FadeWhy::bad_input);
    CHECK(why({{0.0, 0.0}, {1.0, 13.0}}) == FadeWhy::bad_input);
    CHECK(why({{0.0, kNan}, {1.0, 13.0}}) == FadeWhy::bad_input);
    const FadeLine line = fade_line(kFive, FadeKind::first_order).value();
    CHECK(time_at_age(line, -1.0).why() == FadeWhy::bad_input);
    CHECK_FALSE(slow_by_h(line, 1.0));
    CHECK_FALSE(half_life_of(0.0));
    CHECK_FALSE(time_until_gone(1.0, 0.1));
}
