#include "science/splits.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath::science;
using Catch::Matchers::WithinRel;

namespace {

BathCourse falling() {
    return {.temp = TempCurve::newton(58.0, 19.0, 0.04)};
}
const RateLaw kLaw{.ea_kj_per_mol = 58.0, .fade = FadeKind::first_order, .fade_per_h = 0.16};

}  // namespace

TEST_CASE("the dips of a split give the dose together, carry-over counted") {
    CHECK(rc::check("total of splits equals dose", [] {
        const auto count = *rc::gen::inRange<std::size_t>(1, 7);
        const SplitOrder order{.first_drop_s = static_cast<double>(*rc::gen::inRange(0, 1000)),
                               .dose_s = static_cast<double>(*rc::gen::inRange(40, 200)),
                               .between_s = static_cast<double>(*rc::gen::inRange(5, 60)),
                               .carry_over_s = *rc::gen::inRange(0, 30) / 10.0};
        const auto dips = split_dose(falling(), kLaw, order, equal_shares(count)).value();
        RC_ASSERT(dips.size() == count);
        double total = 0.0;
        for (std::size_t i = 0; i < count; ++i) {
            total += dose_s(falling(), kLaw, dips[i].in_s, dips[i].out_s + order.carry_over_s).value();
            if (i > 0) {
                RC_ASSERT(std::abs(dips[i].in_s - dips[i - 1].out_s - order.between_s) < 1e-9);
            }
        }
        RC_ASSERT(std::abs(total - order.dose_s) <= 1e-9 * order.dose_s);
    }));
}

TEST_CASE("equal doses take longer and longer in a cooling bath") {
    const auto dips = split_dose(falling(), kLaw, {.dose_s = 60.0}, equal_shares(4)).value();
    for (std::size_t i = 1; i < dips.size(); ++i) {
        CHECK(dips[i].out_s - dips[i].in_s > dips[i - 1].out_s - dips[i - 1].in_s);
    }
}

TEST_CASE("shares that stop short give that much of the dose") {
    const auto dips = split_dose(falling(), kLaw, {.dose_s = 60.0}, std::vector<double>{0.5, 0.2}).value();
    CHECK_THAT(dips[0].dose_s + dips[1].dose_s, WithinRel(42.0, 1e-12));
}

TEST_CASE("splits that cannot be are refused with their reason") {
    const auto why = [](const SplitOrder& order, const std::vector<double>& shares) {
        return split_dose(falling(), kLaw, order, shares).why();
    };
    CHECK(why({.dose_s = 60.0}, {0.6, 0.6}) == SplitWhy::adds_to_more);
    CHECK(why({.dose_s = 60.0}, {}) == SplitWhy::no_dips);
    CHECK(why({.dose_s = 60.0}, equal_shares(0)) == SplitWhy::no_dips);
    CHECK(why({.dose_s = 60.0}, {0.5, -0.1}) == SplitWhy::bad_input);
    CHECK(why({.dose_s = std::nan("")}, {1.0}) == SplitWhy::bad_input);
    CHECK(why({.dose_s = 0.0}, {1.0}) == SplitWhy::bad_input);
    CHECK(why({.dose_s = 6.0, .carry_over_s = 10.0}, {1.0}) == SplitWhy::carry_over_alone);
    CHECK(why({.dose_s = 60.0, .between_s = 1.0, .carry_over_s = 3.0}, {0.5, 0.5}) == SplitWhy::dip_before_rinsed);
    CHECK(split_dose(falling(), {.fade = FadeKind::zero_order, .fade_per_h = 60.0}, {.dose_s = 90.0}, equal_shares(2))
              .why() == SplitWhy::never_reached);
}
