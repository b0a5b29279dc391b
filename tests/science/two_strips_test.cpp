#include "science/two_strips.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <random>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

const std::vector<WatchedStrip> kPair = {{40.0, 60.0}, {78.0, 50.0}};
constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

StripLawWhy why(const std::vector<WatchedStrip>& strips) {
    return strip_law(strips).why();
}

}  // namespace

TEST_CASE("two watched strips give the effect of heat, with limits") {
    // 40 s at 60 °C, 78 s at 50 °C: 78/40 = 1.95 per 10 °C; R log(1.95) / (1/323.15 - 1/333.15) = 59.8 kJ/mol.
    const StripLaw law = strip_law(kPair).value();
    CHECK_THAT(law.factor_per_10_c, WithinRel(1.95, 1e-12));
    CHECK_THAT(law.ea_kj_per_mol, WithinAbs(59.8, 0.05));
    CHECK(law.basis == LimitBasis::own_error);
    // Each strip 0.06 in log time: sd of log factor 0.06 sqrt 2 = 0.0849, of Ea 7.6 kJ/mol.
    CHECK_THAT(std::log(law.factor_95.high / law.factor_per_10_c), WithinRel(1.95996 * 0.0848528, 1e-4));
    CHECK_THAT(std::log(law.factor_80.high / law.factor_per_10_c), WithinRel(1.28155 * 0.0848528, 1e-4));
    CHECK_THAT(law.ea_95.high - law.ea_kj_per_mol, WithinAbs(1.96 * 7.6, 0.1));
    CHECK_THAT(law.ea_kj_per_mol - law.ea_80.low, WithinAbs(1.2816 * 7.6, 0.1));
}

TEST_CASE("two watched strips give 68 s at 52 °C") {
    const TimePrediction p = predict(strip_law(kPair).value(), 52.0).value();
    CHECK(p.time_s > 67.3);
    CHECK(p.time_s < 68.7);
    CHECK(p.outside_by_c == 0.0);
    // Between the strips the law interpolates: weights near 0.8 and 0.2, sd 0.06 sqrt(0.64 + 0.04) = 0.0495.
    CHECK_THAT(p.log_sd, WithinAbs(0.0495, 0.001));
    CHECK_THAT(p.limits_95.low, WithinRel(p.time_s * std::exp(-1.95996 * p.log_sd), 1e-6));
    CHECK_THAT(p.limits_80.high, WithinRel(p.time_s * std::exp(1.28155 * p.log_sd), 1e-5));
    CHECK(p.limits_95.low < p.limits_80.low);
}

TEST_CASE("the strips themselves are predicted as they were") {
    const StripLaw law = strip_law(kPair).value();
    CHECK_THAT(predict(law, 60.0).value().time_s, WithinRel(40.0, 1e-12));
    CHECK_THAT(predict(law, 50.0).value().time_s, WithinRel(78.0, 1e-12));
    CHECK_THAT(predict(law, 60.0).value().log_sd, WithinRel(0.06, 1e-9));
}

TEST_CASE("outside the tried range the limits widen, and far outside there is no answer") {
    const StripLaw law = strip_law(kPair).value();
    const TimePrediction inside = predict(law, 60.0).value();
    const TimePrediction outside = predict(law, 65.0).value();
    CHECK(outside.outside_by_c == 5.0);
    CHECK(outside.time_s < inside.time_s);
    // More than the line's own error, which at 65 °C is 0.06 hypot(1.48, 0.48).
    CHECK(outside.log_sd > 0.06 * std::hypot(1.5, 0.5));
    CHECK(predict(law, 70.0));
    CHECK(predict(law, 70.5).why() == StripLawWhy::too_far_outside);
    CHECK(predict(law, 39.0).why() == StripLawWhy::too_far_outside);
    const StripLaw wide = strip_law(std::vector<WatchedStrip>{{30.0, 65.0}, {150.0, 35.0}}).value();
    CHECK(predict(wide, 80.0));
    CHECK(predict(wide, 80.5).why() == StripLawWhy::too_far_outside);  // never more than 15 °C
    CHECK(predict(law, kNan).why() == StripLawWhy::bad_input);
}

TEST_CASE("pairs that teach nothing are refused with their reason") {
    CHECK(why({}) == StripLawWhy::too_few);
    CHECK(why({{40.0, 60.0}}) == StripLawWhy::too_few);
    CHECK(why({{40.0, 60.0}, {40.0, 60.0}}) == StripLawWhy::same_strip);
    CHECK(why({{40.0, 60.0, 0.06, 7}, {78.0, 50.0, 0.06, 7}}) == StripLawWhy::same_strip);
    CHECK(why({{40.0, 60.0, 0.06, 7}, {40.0, 60.0, 0.06, 8}}) == StripLawWhy::temps_too_close);
    CHECK(why({{40.0, 60.0}, {43.0, 59.0}}) == StripLawWhy::temps_too_close);    // 1 °C apart
    CHECK(why({{78.0, 60.0}, {40.0, 50.0}}) == StripLawWhy::hotter_was_slower);  // swapped
    CHECK(why({{40.0, 60.0}, {40.0, 50.0}}) == StripLawWhy::hotter_was_slower);  // no effect at all
    CHECK(why({{kNan, 60.0}, {78.0, 50.0}}) == StripLawWhy::bad_input);
    CHECK(why({{-40.0, 60.0}, {78.0, 50.0}}) == StripLawWhy::bad_input);
    CHECK(why({{0.0, 60.0}, {78.0, 50.0}}) == StripLawWhy::bad_input);
    CHECK(why({{40.0, 140.0}, {78.0, 50.0}}) == StripLawWhy::bad_input);
    CHECK(why({{40.0, 60.0, 0.0}, {78.0, 50.0}}) == StripLawWhy::bad_input);
}

TEST_CASE("more strips give a least-squares line with limits from their scatter") {
    // Times 118, 76, 58, 41 s at 45, 50, 55, 60 °C. Expected values from a separate computation of the textbook
    // formulas (slope, residual sd, t with 2 degrees of freedom 4.30265 and 1.88562).
    const std::vector<WatchedStrip> four = {{118.0, 45.0}, {76.0, 50.0}, {58.0, 55.0}, {41.0, 60.0}};
    const StripLaw law = strip_law(four).value();
    CHECK(law.basis == LimitBasis::scatter);
    CHECK_THAT(law.ea_kj_per_mol, WithinRel(60.70205, 1e-6));
    CHECK_THAT(law.ea_95.low, WithinRel(44.95274, 1e-5));
    CHECK_THAT(law.ea_95.high, WithinRel(76.45136, 1e-5));
    CHECK_THAT(law.ea_80.low, WithinRel(53.79999, 1e-5));
    const TimePrediction p = predict(law, 52.0).value();
    CHECK_THAT(p.time_s, WithinRel(69.87610, 1e-6));
    CHECK_THAT(p.limits_95.low, WithinRel(63.21580, 1e-5));
    CHECK_THAT(p.limits_95.high, WithinRel(77.23812, 1e-5));
    CHECK_THAT(p.limits_80.high, WithinRel(73.01190, 1e-5));
    CHECK(strip_law(four, LimitBasis::own_error).value().basis == LimitBasis::own_error);
    CHECK(why({{118.0, 45.0, 0.06, 1}, {76.0, 50.0, 0.06, 2}, {58.0, 55.0, 0.06, 1}}) == StripLawWhy::same_strip);
    // Strips on one line by luck do not make the limits vanish.
    const std::vector<WatchedStrip> lucky = {
        {40.0, 60.0}, {predict(strip_law(kPair).value(), 55.0)->time_s, 55.0}, {78.0, 50.0}};
    CHECK(strip_law(lucky).value().ea_95.high - strip_law(lucky).value().ea_95.low > 1.0);
}

TEST_CASE("over invented strips the limits hold as often as they say") {
    // True 59.8 kJ/mol; 2000 pairs and 2000 fours with errors of 0.06 in log time. Bounds: 4 binomial errors.
    std::mt19937_64 random(7);
    std::normal_distribution<double> error(0.0, 0.06);
    const auto held = [&](const std::vector<double>& temps_c) {
        int count = 0;
        for (int i = 0; i < 2000; ++i) {
            std::vector<WatchedStrip> strips;
            for (const double t : temps_c) {
                const double log_time = std::log(40.0) + 59800.0 / 8.31446 * (1.0 / (t + 273.15) - 1.0 / 333.15);
                strips.push_back({std::exp(log_time + error(random)), t});
            }
            const StripLaw law = strip_law(strips).value();
            count += law.ea_95.low <= 59.8 && 59.8 <= law.ea_95.high ? 1 : 0;
        }
        return count;
    };
    const int pairs = held({60.0, 45.0});
    const int fours = held({60.0, 55.0, 50.0, 45.0});
    CAPTURE(pairs, fours);
    CHECK(std::abs(pairs - 1900) < 40);
    CHECK(std::abs(fours - 1900) < 40);
}
