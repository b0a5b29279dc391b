// Does the engine know how much it knows? A short run of calibration_long_test.cpp: studios drawn from the priors, the
// posterior probability below the truth of seven quantities, turned to normal scores. Sum of squared scores: chi-square
// when calibrated. Seed 20260401, fixed beforehand. Three deliberate faults must be seen.
#include "science/studio_simulation.hpp"

#include <catch2/catch.hpp>

#include <boost/math/distributions/chi_squared.hpp>

namespace sim = studio_simulation;

namespace {

constexpr std::size_t kDraws = 80;

struct Verdict {
    double least_p = 1.0;  // smallest two-sided p over the quantities
    const char* of = "";
};

Verdict judge(sim::Break wrong) {
    sim::Draw draw(20260401);
    std::array<double, sim::kQuantities.size()> squares = {};
    for (std::size_t i = 0; i < kDraws; ++i) {
        sim::Studio studio = sim::draw_studio(draw, 24, sim::Purpose::calibration);
        sim::add_strip(draw, studio, sim::fit(studio));
        const auto below = sim::below_truth(studio, sim::fit(studio, wrong));
        for (std::size_t q = 0; q < below.size(); ++q) {
            const double z = tonebath::science::normal_quantile(std::clamp(below[q], 1e-12, 1.0 - 1e-12));
            squares[q] += z * z;
        }
    }
    const boost::math::chi_squared_distribution<double> law(static_cast<double>(kDraws));
    Verdict verdict;
    for (std::size_t q = 0; q < squares.size(); ++q) {
        const double p = 2.0 * std::min(boost::math::cdf(law, squares[q]),
                                        boost::math::cdf(boost::math::complement(law, squares[q])));
        if (p < verdict.least_p) {
            verdict = {p, sim::kQuantities[q]};
        }
    }
    return verdict;
}

constexpr double kFamilyWise = 0.01 / static_cast<double>(sim::kQuantities.size());

}  // namespace

TEST_CASE("calibrated, in short", "[learn]") {
    const Verdict v = judge(sim::Break::none);
    INFO("least p " << v.least_p << " for " << v.of);
    CHECK(v.least_p > kFamilyWise);
}

TEST_CASE("the short calibration sees deliberate faults", "[learn]") {
    for (const sim::Break wrong :
         {sim::Break::no_bath_offset, sim::Break::half_the_scatter, sim::Break::saturated_as_exact}) {
        const Verdict v = judge(wrong);
        INFO("fault " << static_cast<int>(wrong) << ": least p " << v.least_p << " for " << v.of);
        CHECK(v.least_p < kFamilyWise);
    }
}
