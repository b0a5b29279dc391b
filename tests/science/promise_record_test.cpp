#include "science/promise_record.hpp"

#include "science/normal.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;

namespace {

// Pieces whose place on the scale is normal about a middle with spread 1 (in tones, borders at 1 .. 8), promised by
// someone who believes the spread is `believed`. Seed fixed beforehand.
std::vector<PromiseMark> simulated(double believed, int pieces) {
    std::mt19937_64 random(20260331);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> middles(2.0, 7.0);
    std::vector<PromiseMark> marks;
    for (int i = 0; i < pieces; ++i) {
        const double middle = middles(random);
        const double place = middle + normal(random);
        Promise promise;
        for (int border = 1; border <= 8; ++border) {
            promise.reached.push_back(normal_cdf((middle - border) / believed));
        }
        promise.least = promise.most = static_cast<std::size_t>(std::clamp(std::floor(place), 0.0, 8.0));
        const auto mark = mark_promise(promise);
        REQUIRE(mark);
        marks.push_back(*mark);
    }
    return marks;
}

}  // namespace

TEST_CASE("a promise by hand: which tones it takes in, and how likely that was") {
    // 95 of 100 at least gold (1), 60 at least amber (2), 5 magenta (3).
    const Promise promise{.reached = {0.95, 0.60, 0.05}, .least = 2, .most = 2};
    const PromiseMark mark = mark_promise(promise).value();
    CHECK(mark.from == 1);
    CHECK(mark.to == 2);
    CHECK_THAT(mark.promised, WithinAbs(0.90, 1e-12));  // gold or amber: 0.95 - 0.05
    CHECK(mark.inside == true);
    CHECK_THAT(mark.pit_low, WithinAbs(0.40, 1e-12));
    CHECK_THAT(mark.pit_high, WithinAbs(0.95, 1e-12));
    Promise over = promise;
    over.least = over.most = 3;
    CHECK(mark_promise(over)->inside == false);
    // Judged only as lighter than amber: bare would be outside, gold inside.
    Promise lighter = promise;
    lighter.least = 0;
    lighter.most = 1;
    CHECK_FALSE(mark_promise(lighter)->inside);
    CHECK_FALSE(mark_promise({.reached = {0.5, 0.6}, .least = 0, .most = 0}));
    CHECK_FALSE(mark_promise({.reached = {0.5}, .least = 2, .most = 2}));
}

TEST_CASE("one who knows the spread is found as good as promised, one who halves or doubles it is not") {
    const PromiseRecord honest = promise_record(simulated(1.0, 600));
    CHECK(honest.seen == 600);
    CHECK(honest.verdict == PromiseVerdict::as_promised);
    CHECK(honest.promised >= 0.8);
    for (const double share : honest.pit) {
        CHECK_THAT(share, WithinAbs(0.1, 0.03));
    }
    CHECK_THAT(std::accumulate(honest.pit.begin(), honest.pit.end(), 0.0), WithinAbs(1.0, 1e-9));

    const PromiseRecord sure = promise_record(simulated(0.5, 600));
    CHECK(sure.verdict == PromiseVerdict::too_narrow);
    CHECK(sure.pit.front() + sure.pit.back() > 0.3);  // too often at the ends

    const PromiseRecord shy = promise_record(simulated(2.0, 600));
    CHECK(shy.verdict == PromiseVerdict::too_wide);
    CHECK(shy.pit.front() + shy.pit.back() < 0.1);
}

TEST_CASE("few pieces say nothing, and the interval is Wilson's") {
    const std::vector<PromiseMark> marks(9, PromiseMark{.from = 1, .to = 2, .promised = 0.9, .inside = false});
    CHECK(promise_record(marks).verdict == PromiseVerdict::too_few);
    std::vector<PromiseMark> twenty(20, PromiseMark{.from = 1, .to = 2, .promised = 0.9, .inside = true});
    twenty[0].inside = false;
    const PromiseRecord record = promise_record(twenty);
    // 1 of 20 the other way: 0.9 to 23.6 in 100 (Wilson, worked out apart), so 19 of 20 is 76.4 to 99.1.
    CHECK_THAT(record.interval.lower, WithinAbs(0.764, 5e-4));
    CHECK_THAT(record.interval.upper, WithinAbs(0.991, 5e-4));
}
