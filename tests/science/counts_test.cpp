#include "science/counts.hpp"

#include "science/reference_tables.hpp"

#include <rapidcheck.h>
#include <nlohmann/json.hpp>

#include <cmath>

using namespace tonebath::science;
using namespace tonebath::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using nlohmann::json;

namespace {

json reference(const std::string& name) {
    return json::parse(text_of(case_file("statistics_classic/" + name)));
}

void check_interval(const ShareInterval& got, const json& expected, double within) {
    CHECK_THAT(got.lower, WithinAbs(expected[0].get<double>(), within));
    CHECK_THAT(got.upper, WithinAbs(expected[1].get<double>(), within));
}

// Chance of `hits` or fewer out of `seen`, by plain summing: nothing from the code under test.
double binomial_cdf(long hits, long seen, double share) {
    double sum = 0.0;
    for (long x = 0; x <= hits; ++x) {
        const double ways = std::lgamma(static_cast<double>(seen) + 1.0) - std::lgamma(static_cast<double>(x) + 1.0) -
                            std::lgamma(static_cast<double>(seen - x) + 1.0);
        sum += std::exp(ways + static_cast<double>(x) * std::log(share) +
                        static_cast<double>(seen - x) * std::log1p(-share));
    }
    return sum;
}

}  // namespace

// Newcombe 1998, Stat. Med. 17, 857-872, table I, methods 3 and 5 (as quoted in several sources), and R 4.2.2 qbeta and
// the Wilson formula checked with scipy and statsmodels; binomial.json.
TEST_CASE("Intervals of shares are those Newcombe printed and another package computes", "[counts]") {
    const json file = reference("binomial.json");
    const double within = file["tolerance"]["limit_abs"];
    const double printed = file["tolerance"]["published_abs"];
    REQUIRE(file["cases"]["newcombe"].size() == 4);
    REQUIRE(file["cases"]["extra"].size() == 5);
    for (const char* group : {"newcombe", "extra"}) {
        for (const json& one : file["cases"][group]) {
            const long hits = one["x"];
            const long seen = one["n"];
            const double confidence = one["conf"];
            INFO(hits << " of " << seen);
            check_interval(wilson_interval(hits, seen, confidence), one["wilson"], within);
            check_interval(exact_interval(hits, seen, confidence), one["clopper_pearson"], within);
            CHECK_THAT(
                exact_upper_limit(hits, seen, 0.95),
                WithinAbs(one["upper_one_sided_clopper_pearson"].get<double>(), confidence == 0.95 ? within : 1.0));
            if (one.contains("published_wilson")) {
                check_interval(wilson_interval(hits, seen, confidence), one["published_wilson"], printed);
                check_interval(exact_interval(hits, seen, confidence), one["published_clopper_pearson"], printed);
            }
        }
    }
}

// 1 of 20 and 0 of 12: worked by the Wilson formula by hand, to the digits shown to people.
TEST_CASE("The bars people see: 1 of 20 ends at 23.6 %, 0 of 12 at 24.2 %, 0 of 29 at 11.7 %", "[counts]") {
    CHECK_THAT(wilson_interval(1, 20).lower, WithinAbs(0.009, 5e-4));
    CHECK_THAT(wilson_interval(1, 20).upper, WithinAbs(0.236, 5e-4));
    CHECK_THAT(wilson_interval(0, 12).upper, WithinAbs(0.242, 6e-4));
    CHECK_THAT(wilson_interval(0, 29).upper, WithinAbs(0.117, 5e-4));
    CHECK(wilson_interval(0, 12).lower == 0.0);
    CHECK(wilson_interval(12, 12).upper == 1.0);
}

TEST_CASE("With nothing seen nothing is known", "[counts]") {
    for (const ShareInterval& all : {wilson_interval(0, 0), exact_interval(0, 0)}) {
        CHECK(all.lower == 0.0);
        CHECK(all.upper == 1.0);
    }
    CHECK(exact_upper_limit(0, 0) == 1.0);
    CHECK(exact_lower_limit(0, 0) == 0.0);
}

// Hanley and Lippman-Hand 1983, JAMA 249, 1743: upper 95 % limit near 3/n; binomial.json, rule_of_three.
TEST_CASE("None of n gives the exact limit near 3 over n", "[counts]") {
    const json file = reference("binomial.json");
    for (const json& one : file["cases"]["rule_of_three"]) {
        const long seen = one["n"];
        CHECK_THAT(exact_upper_limit(0, seen), WithinAbs(one["exact_upper95"].get<double>(), 1e-9));
        if (seen >= 30) {
            CHECK_THAT(exact_upper_limit(0, seen), WithinRel(3.0 / static_cast<double>(seen), 0.06));
        }
    }
}

// binomial.json, zero_failures; 59 for 95/95 is Wilks 1941 (from memory); 0.9^29 = 0.047, 0.95^59 = 0.049 by hand.
TEST_CASE("Clean results needed to say under 10 % or under 5 %", "[counts]") {
    const json file = reference("binomial.json");
    for (const json& one : file["cases"]["zero_failures"]) {
        CHECK(zero_failure_sample(one["reliability"], one["confidence"]) == one["n"].get<long>());
    }
    CHECK(zero_failure_sample(0.9) == 29);
    CHECK(zero_failure_sample(0.95) == 59);
    // Whole quotients are not pushed up by rounding.
    CHECK(zero_failure_sample(0.5, 0.75) == 2);
    CHECK(zero_failure_sample(0.1, 0.999) == 3);
    CHECK(zero_failure_sample(0.2, 0.5) == 1);
}

TEST_CASE("More clean results needed counts from what is there already", "[counts]") {
    CHECK(clean_results_needed(0, 0, 0.10) == 29);
    CHECK(clean_results_needed(0, 12, 0.10) == 17);
    CHECK(clean_results_needed(0, 29, 0.10) == 0);
    CHECK(clean_results_needed(0, 0, 0.05) == 59);
    CHECK(clean_results_needed(0, 3, 0.05) == 56);
    // One failure on record: 46 in all (0.9^46 + 46 * 0.1 * 0.9^45 = 0.048 by hand), 93 for 5 %.
    CHECK(clean_results_needed(1, 1, 0.10) == 45);
    CHECK(clean_results_needed(1, 20, 0.05) == 73);
    CHECK(!clean_results_needed(5, 5, 1e-7));
}

TEST_CASE("Exact limits are where the chance of so many or fewer is what was asked", "[counts][property]") {
    CHECK(rc::check([] {
        const long seen = *rc::gen::inRange(1, 200);
        const long hits = *rc::gen::inRange(0L, seen + 1);
        const double confidence = *rc::gen::inRange(50, 999) / 1000.0;
        const double upper = exact_upper_limit(hits, seen, confidence);
        const double lower = exact_lower_limit(hits, seen, confidence);
        if (hits < seen) {
            RC_ASSERT(std::abs(binomial_cdf(hits, seen, upper) - (1.0 - confidence)) < 1e-9);
        }
        if (hits > 0) {
            RC_ASSERT(std::abs(1.0 - binomial_cdf(hits - 1, seen, lower) - (1.0 - confidence)) < 1e-9);
        }
        const ShareInterval wilson = wilson_interval(hits, seen, confidence);
        const double share = static_cast<double>(hits) / static_cast<double>(seen);
        RC_ASSERT(wilson.lower >= 0.0 && wilson.lower <= share && share <= wilson.upper && wilson.upper <= 1.0);
        // Failures and successes are mirror images.
        const ShareInterval mirror = wilson_interval(seen - hits, seen, confidence);
        RC_ASSERT(std::abs(wilson.lower - (1.0 - mirror.upper)) < 1e-12);
    }));
}

// Fisher 1935, tea tasting; Fisher 1962, convictions of twins; values of R 4.2.2 fisher.test checked with scipy
// (4e-16).
TEST_CASE("Fisher's exact test gives the published p of tea and twins", "[counts]") {
    const json cases = reference("fisher.json")["cases"];
    REQUIRE(cases.size() == 3);
    for (const auto& [name, one] : cases.items()) {
        INFO(name);
        const auto& t = one["table"];
        const FisherTest got = fisher_exact({t[0][0], t[0][1], t[1][0], t[1][1]});
        CHECK_THAT(got.two_sided, WithinRel(one["p_two_sided"].get<double>(), 1e-12));
        CHECK_THAT(got.greater, WithinRel(one["p_greater"].get<double>(), 1e-12));
        CHECK_THAT(got.less, WithinRel(one["p_less"].get<double>(), 1e-12));
    }
    CHECK_THAT(fisher_exact({4, 0, 0, 4}).greater, WithinRel(1.0 / 70.0, 1e-14));
    CHECK_THAT(fisher_exact({3, 1, 1, 3}).greater, WithinRel(17.0 / 70.0, 1e-14));
    // 7 of 12 against 1 of 20.
    CHECK_THAT(fisher_exact({7, 5, 1, 19}).two_sided, WithinAbs(0.0016, 5e-5));
}

TEST_CASE("Fisher's test: empty margins say nothing, and large counts stay finite", "[counts]") {
    for (const TwoByTwo& table : {TwoByTwo{}, TwoByTwo{0, 0, 3, 4}, TwoByTwo{0, 5, 0, 7}, TwoByTwo{6, 0, 9, 0}}) {
        const FisherTest got = fisher_exact(table);
        CHECK(got.two_sided == 1.0);
        CHECK(got.greater == 1.0);
        CHECK(got.less == 1.0);
    }
    CHECK_THAT(fisher_exact({25000, 25000, 25000, 25000}).two_sided, WithinAbs(1.0, 1e-9));
    CHECK(fisher_exact({26000, 24000, 24000, 26000}).two_sided < 1e-30);
    CHECK(fisher_exact({30000, 20000, 20000, 30000}).two_sided >= 0.0);
}

TEST_CASE("Fisher's p agrees with counting all tables, and does not mind which way they are written",
          "[counts][property]") {
    CHECK(rc::check([] {
        const long a = *rc::gen::inRange(0, 12);
        const long b = *rc::gen::inRange(0, 12);
        const long c = *rc::gen::inRange(0, 12);
        const long d = *rc::gen::inRange(0, 12);
        const auto ways = [](long n, long k) {
            double value = 1.0;
            for (long i = 1; i <= k; ++i) {
                value = value * static_cast<double>(n - k + i) / static_cast<double>(i);
            }
            return k < 0 || k > n ? 0.0 : value;
        };
        const auto chance = [&](long x) {
            return ways(a + b, x) * ways(c + d, a + c - x) / ways(a + b + c + d, a + c);
        };
        double two_sided = 0.0;
        double greater = 0.0;
        for (long x = 0; x <= a + c; ++x) {
            two_sided += chance(x) <= chance(a) * (1.0 + 1e-7) ? chance(x) : 0.0;
            greater += x >= a ? chance(x) : 0.0;
        }
        const FisherTest got = fisher_exact({a, b, c, d});
        RC_ASSERT(std::abs(got.two_sided - two_sided) < 1e-11);
        RC_ASSERT(std::abs(got.greater - greater) < 1e-11);
        const FisherTest swapped = fisher_exact({c, d, a, b});
        RC_ASSERT(std::abs(swapped.two_sided - got.two_sided) < 1e-11);
        RC_ASSERT(std::abs(swapped.less - got.greater) < 1e-11);
        const FisherTest turned = fisher_exact({a, c, b, d});
        RC_ASSERT(std::abs(turned.two_sided - got.two_sided) < 1e-11);
    }));
}
