#include "science/dose.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();
constexpr double kEaOfTwoStrips = 59.78;  // 40 s at 60 °C and 78 s at 50 °C

BathCourse held_at(double temp_c) {
    return {.temp = TempCurve::constant(temp_c)};
}

// Reading by reading, a reheat, a top-up and water lost: every kind of kink.
BathCourse eventful() {
    const std::vector<Reading> readings = {{60.0, 61.0},   {400.0, 55.2}, {900.0, 48.9}, {1500.0, 63.0, true, 1300.0},
                                           {2100.0, 56.1}, {2700.0, 50.3}};
    return {.temp = temp_curve(readings, {.room_c = 18.0}).value(),
            .strength = {{0.0, 0.1, 0.08}, {1000.0, -0.2, 0.08}, {2000.0, 0.3, 0.0}},
            .agitation = 0.8,
            .log_speed = -0.15};
}

const RateLaw kFirst{
    .ea_kj_per_mol = 58.0, .strength_exponent = 0.7, .fade = FadeKind::first_order, .fade_per_h = 0.16};
const RateLaw kZero{.ea_kj_per_mol = 58.0, .strength_exponent = 0.7, .fade = FadeKind::zero_order, .fade_per_h = 1.5};

// Composite Simpson with steps of about 1/20 s between the stated kinks: a slow, plain reference.
double simpson(const BathCourse& course, const RateLaw& law, std::vector<double> kinks) {
    double sum = 0.0;
    for (std::size_t i = 1; i < kinks.size(); ++i) {
        const double a = kinks[i - 1];
        const double length = kinks[i] - a;
        const int steps = 2 * static_cast<int>(std::ceil(length * 10.0));
        const double h = length / steps;
        for (int j = 0; j <= steps; ++j) {
            const double weight = j == 0 || j == steps ? 1.0 : (j % 2 == 1 ? 4.0 : 2.0);
            // Just inside the ends, so that steps are seen from within.
            const double t = a + h * std::clamp(static_cast<double>(j), 1e-9, steps - 1e-9);
            sum += weight * rate_at(course, law, t) * h / 3.0;
        }
    }
    return sum;
}

}  // namespace

TEST_CASE("a fresh bath of usual make-up at 60 °C gives one second of dose a second") {
    CHECK_THAT(dose_s(held_at(60.0), {}, 0.0, 40.0).value(), WithinRel(40.0, 1e-12));
    CHECK(heat_factor(60.0, 45.0) == 1.0);
}

TEST_CASE("racks at 55, 46 and 40 °C get 1, 0.55 and 0.36 of the dose") {
    // Demo scenario P2, E = 58 kJ/mol; by hand exp(-E/R (1/T - 1/328.15)) = 0.549 and 0.361.
    const RateLaw law{.ea_kj_per_mol = 58.0};
    const double first = dose_s(held_at(55.0), law, 0.0, 40.0).value();
    CHECK_THAT(dose_s(held_at(46.0), law, 0.0, 40.0).value() / first, WithinAbs(0.549, 0.001));
    CHECK_THAT(dose_s(held_at(40.0), law, 0.0, 40.0).value() / first, WithinAbs(0.361, 0.001));
}

TEST_CASE("a stored dose becomes today's seconds") {
    // 90 s at 50 °C, strength 0.62, bath at 44 °C: 217 to 222 s, 221 by the rate law of the two strips.
    const RateLaw law{.ea_kj_per_mol = kEaOfTwoStrips};
    const double dose = convert_dose(90.0, 50.0, law).value();
    CHECK_THAT(seconds_at(dose, 44.0, 0.62, law).value(), WithinAbs(221.0, 0.5));
    BathCourse bath = held_at(44.0);
    bath.log_speed = std::log(0.62);
    CHECK_THAT(out_time_s(bath, law, 0.0, dose).value(), WithinAbs(221.0, 0.5));
    CHECK_THAT(dose_as_seconds_at(dose, 50.0, law).value(), WithinRel(90.0, 1e-12));
}

TEST_CASE("how much faster when hotter, against figures worked out elsewhere") {
    // "Doubles per 10 °C" is 53 kJ/mol between 25 and 35 °C; 45 kJ/mol is 1.8 there and 1.65 between 50 and 60 °C.
    CHECK_THAT(ea_from_factor(2.0, 25.0, 35.0).value(), WithinAbs(53.0, 0.5));
    CHECK_THAT(factor_per_10_c(45.0, 30.0), WithinAbs(1.8, 0.01));
    CHECK_THAT(factor_per_10_c(45.0, 55.0), WithinAbs(1.65, 0.01));
    CHECK_THAT(factor_per_10_c(kEaOfTwoStrips, 55.0), WithinAbs(1.95, 0.001));
}

TEST_CASE("closed forms: fade and drift at one temperature") {
    const double r = 0.4;
    const double t1 = 7200.0;
    const RateLaw first{.fade = FadeKind::first_order, .fade_per_h = r};
    CHECK_THAT(dose_s(held_at(60.0), first, 0.0, t1).value(), WithinRel(3600.0 / r * -std::expm1(-r * 2.0), 1e-12));
    const RateLaw zero{.fade = FadeKind::zero_order, .fade_per_h = r};
    CHECK_THAT(dose_s(held_at(60.0), zero, 0.0, t1).value(), WithinRel(3600.0 * (2.0 - r * 2.0), 1e-12));
    // Spent after 2.5 h: nothing more, however long.
    CHECK_THAT(dose_s(held_at(60.0), zero, 0.0, 36000.0).value(), WithinRel(3600.0 * 1.25, 1e-12));
    BathCourse drying = held_at(60.0);
    drying.strength = {{0.0, 0.2, 0.1}};
    const RateLaw half{.strength_exponent = 0.5};
    CHECK_THAT(dose_s(drying, half, 0.0, t1).value(),
               WithinRel(std::exp(0.1) * 3600.0 / 0.05 * std::expm1(0.1), 1e-12));
    // Before make-up there is no fade.
    CHECK_THAT(dose_s(held_at(60.0), first, -100.0, 0.0).value(), WithinRel(100.0, 1e-12));
}

TEST_CASE("the integral agrees with a slow reference through every kind of kink") {
    const std::vector<double> kinks = {0.0,    60.0,   400.0,  900.0,  1000.0, 1300.0,
                                       1500.0, 2000.0, 2100.0, 2400.0, 2700.0, 3600.0};  // 2400: zero order is spent
    for (const RateLaw& law : {kFirst, kZero, RateLaw{}}) {
        const double found = dose_s(eventful(), law, 0.0, 3600.0).value();
        CHECK_THAT(found, WithinRel(simpson(eventful(), law, kinks), 1e-9));
    }
    // Fast cooling, 1 /min, over an hour.
    const BathCourse fast{.temp = TempCurve::newton(80.0, 15.0, 1.0)};
    CHECK_THAT(dose_s(fast, kFirst, 0.0, 3600.0).value(), WithinRel(simpson(fast, kFirst, {0.0, 3600.0}), 1e-9));
}

TEST_CASE("dose adds: any split of a dip gives the same dose") {
    CHECK(rc::check("additive", [] {
        const double a = *rc::gen::inRange(0, 3000);
        const double b = a + *rc::gen::inRange(0, 2000);
        const double c = b + *rc::gen::inRange(0, 2000);
        const RateLaw law = *rc::gen::element(kFirst, kZero, RateLaw{});
        const double whole = dose_s(eventful(), law, a, c).value();
        const double parts = dose_s(eventful(), law, a, b).value() + dose_s(eventful(), law, b, c).value();
        RC_ASSERT(std::abs(whole - parts) <= 1e-9 * (1.0 + whole));
    }));
    const std::vector<DipTimes> dips = {{0.0, 20.0}, {60.0, 75.0, 2.0}};
    CHECK_THAT(total_dose_s(held_at(60.0), {}, dips).value(), WithinRel(50.0, 1e-12));
    CHECK(total_dose_s(held_at(60.0), {}, {}).value() == 0.0);
}

TEST_CASE("the out-time gives exactly the dose that was asked for") {
    CHECK(rc::check("inverse", [] {
        const double in_s = *rc::gen::inRange(0, 2500);
        const double wanted = *rc::gen::inRange(1, 6000) / 10.0;
        const RateLaw law = *rc::gen::element(kFirst, kZero, RateLaw{});
        const auto out = out_time_s(eventful(), law, in_s, wanted);
        if (!out) {
            RC_ASSERT(law.fade == FadeKind::zero_order);
            RC_ASSERT(out.why().why == NeverWhy::bath_spent);
            RC_ASSERT(out.why().dose_by_then_s < wanted);
            return;
        }
        RC_ASSERT(*out > in_s);
        RC_ASSERT(std::abs(dose_s(eventful(), law, in_s, *out).value() - wanted) <= 1e-9 * wanted + 1e-10);
        const auto more = out_time_s(eventful(), law, in_s, wanted * 1.01);
        const bool later_or_never = !more || *more > *out;
        RC_ASSERT(later_or_never);
    }));
}

TEST_CASE("hotter, stronger, stirred and younger are faster") {
    CHECK(rc::check("monotone", [] {
        const double temp_c = *rc::gen::inRange(10, 85);
        const double t_s = *rc::gen::inRange(0, 7200);
        const RateLaw law = *rc::gen::element(kFirst, RateLaw{});
        const double plain = rate_at(held_at(temp_c), law, t_s);
        RC_ASSERT(rate_at(held_at(temp_c + 1.0), law, t_s) > plain);
        BathCourse strong = held_at(temp_c);
        strong.strength = {{0.0, 0.1, 0.0}};
        RC_ASSERT(rate_at(strong, law, t_s) > plain);
        BathCourse stirred = held_at(temp_c);
        stirred.agitation = 2.0;
        RC_ASSERT(std::abs(rate_at(stirred, law, t_s) - 2.0 * plain) < 1e-12 * plain);
        RC_ASSERT(rate_at(held_at(temp_c), kFirst, t_s + 600.0) < rate_at(held_at(temp_c), kFirst, t_s));
    }));
}

TEST_CASE("a dose that is never reached says why") {
    const RateLaw dying{.fade = FadeKind::zero_order, .fade_per_h = 1.0};  // 1800 s of dose in all at 60 °C
    const auto spent = out_time_s(held_at(60.0), dying, 0.0, 2000.0);
    REQUIRE_FALSE(spent);
    CHECK(spent.why().why == NeverWhy::bath_spent);
    CHECK_THAT(spent.why().dose_by_then_s, WithinRel(1800.0, 1e-9));
    CHECK_THAT(out_time_s(held_at(60.0), dying, 0.0, 1350.0).value(), WithinRel(1800.0, 1e-9));

    const auto slow = out_time_s(held_at(5.0), {.ea_kj_per_mol = 90.0}, 0.0, 2000.0);
    REQUIRE_FALSE(slow);
    CHECK(slow.why().why == NeverWhy::not_within_limit);
    CHECK(slow.why().dose_by_then_s > 0.0);

    for (const double bad : {0.0, -1.0, kNan, kInf}) {
        CHECK(out_time_s(held_at(60.0), {}, 0.0, bad).why().why == NeverWhy::bad_input);
    }
    CHECK(out_time_s(held_at(60.0), {}, kNan, 40.0).why().why == NeverWhy::bad_input);
}

TEST_CASE("look now comes at the stated share, and what would have matched is the way back") {
    const BathCourse cooling{.temp = TempCurve::newton(60.0, 19.0, 0.03)};
    const double out = out_time_s(cooling, kFirst, 100.0, 60.0).value();
    const double look = look_now_s(cooling, kFirst, 100.0, 60.0, 0.7).value();
    CHECK(look < out);
    CHECK_THAT(dose_s(cooling, kFirst, 100.0, look).value(), WithinRel(42.0, 1e-9));
    // A piece dipped 55 s from t = 200: the seconds that match its own dose are its own seconds.
    const double own = dose_s(cooling, kFirst, 200.0, 255.0).value();
    CHECK_THAT(matched_seconds(cooling, kFirst, 200.0, own).value(), WithinRel(55.0, 1e-9));
    CHECK(look_now_s(cooling, kFirst, 0.0, 60.0, 1.5).why().why == NeverWhy::bad_input);
    CHECK(look_now_s(cooling, kFirst, 0.0, 60.0, kNan).why().why == NeverWhy::bad_input);
}

TEST_CASE("derivatives of log dose agree with differences") {
    for (const RateLaw& law : {kFirst, kZero}) {
        const auto log_dose = [&](RateLaw l) { return std::log(dose_s(eventful(), l, 300.0, 2600.0).value()); };
        const DoseSensitivity s = dose_sensitivity(eventful(), law, 300.0, 2600.0).value();
        constexpr double step = 1e-4;
        RateLaw up = law;
        RateLaw down = law;
        up.ea_kj_per_mol += step;
        down.ea_kj_per_mol -= step;
        CHECK_THAT(s.d_ea_per_kj_per_mol, WithinAbs((log_dose(up) - log_dose(down)) / (2.0 * step), 1e-8));
        up = down = law;
        up.fade_per_h += step;
        down.fade_per_h -= step;
        CHECK_THAT(s.d_fade_h, WithinAbs((log_dose(up) - log_dose(down)) / (2.0 * step), 1e-6));
        up = down = law;
        up.strength_exponent += step;
        down.strength_exponent -= step;
        CHECK_THAT(s.d_exponent, WithinAbs((log_dose(up) - log_dose(down)) / (2.0 * step), 1e-8));
    }
    CHECK(dose_sensitivity(held_at(70.0), {}, 0.0, 10.0).value().d_ea_per_kj_per_mol > 0.0);
    CHECK(dose_sensitivity(held_at(50.0), {}, 0.0, 10.0).value().d_ea_per_kj_per_mol < 0.0);
    CHECK(dose_sensitivity(held_at(50.0), {}, 0.0, 10.0).value().log_sd_from_temp == 0.0);
    CHECK_FALSE(dose_sensitivity(held_at(50.0), {}, 10.0, 10.0));
}

TEST_CASE("doubt about the temperature becomes doubt about the dose") {
    // 0.3 °C at 60 °C and 58 kJ/mol: 58000 / (8.314 x 333.15^2) x 0.3 = 0.0189 in log dose.
    const BathCourse read{
        .temp = temp_curve(std::vector<Reading>{{0.0, 60.0}}, {.room_c = 60.0, .room_sd_c = 0.0}).value()};
    const auto s = dose_sensitivity(read, {.ea_kj_per_mol = 58.0}, 0.0, 30.0).value();
    CHECK_THAT(s.log_sd_from_temp, WithinAbs(0.0189, 0.0002));
}

TEST_CASE("the effective temperature stands for the whole dip") {
    const BathCourse cooling{.temp = TempCurve::newton(60.0, 19.0, 0.05)};
    const double temp_c = effective_temp_c(cooling, kFirst, 0.0, 300.0).value();
    CHECK(temp_c < 60.0);
    CHECK(temp_c > cooling.temp.temp_c(300.0));
    const RateLaw no_fade{.ea_kj_per_mol = 58.0};
    CHECK_THAT(dose_s(held_at(temp_c), no_fade, 0.0, 300.0).value(),
               WithinRel(dose_s(cooling, no_fade, 0.0, 300.0).value(), 1e-10));
    CHECK_THAT(effective_temp_c(cooling, {.ea_kj_per_mol = 0.0}, 0.0, 300.0).value(), WithinAbs(temp_c, 0.5));
    CHECK_THAT(effective_temp_c(held_at(47.0), kFirst, 5.0, 5.0).value(), WithinAbs(47.0, 1e-12));
}

TEST_CASE("a course or a span that cannot be gets no dose") {
    const BathCourse bath = held_at(60.0);
    CHECK_FALSE(dose_s(bath, {}, 10.0, 5.0));  // out before in
    CHECK_FALSE(dose_s(bath, {}, kNan, 5.0));
    CHECK_FALSE(dose_s(bath, {}, 0.0, kInf));
    CHECK_FALSE(dose_s(held_at(kNan), {}, 0.0, 5.0));
    CHECK_FALSE(dose_s(bath, {.ea_kj_per_mol = kNan}, 0.0, 5.0));
    CHECK_FALSE(dose_s(bath, {.fade = FadeKind::first_order, .fade_per_h = -0.1}, 0.0, 5.0));
    BathCourse odd = bath;
    odd.agitation = 0.0;
    CHECK_FALSE(dose_s(odd, {}, 0.0, 5.0));
    odd = bath;
    odd.log_speed = kInf;
    CHECK_FALSE(dose_s(odd, {}, 0.0, 5.0));
    odd = bath;
    odd.strength = {{100.0, 0.0, 0.0}, {50.0, 0.0, 0.0}};
    CHECK_FALSE(dose_s(odd, {}, 0.0, 5.0));
    CHECK_FALSE(total_dose_s(bath, {}, std::vector<DipTimes>{{0.0, 5.0, -1.0}}));
    CHECK_FALSE(convert_dose(-1.0, 50.0, {}));
    CHECK_FALSE(convert_dose(40.0, kNan, {}));
    CHECK_FALSE(seconds_at(40.0, 50.0, 0.0, {}));
    CHECK_FALSE(ea_from_factor(2.0, 50.0, 50.0));
    CHECK_FALSE(ea_from_factor(-2.0, 40.0, 50.0));
    CHECK(dose_s(bath, {}, 5.0, 5.0).value() == 0.0);
}
