// Shares from counts: intervals, sample sizes without a failure, and the exact test of two groups.
// Formulas, sources and errors: docs/formulas/counts_and_survival.md.
#pragma once

#include <optional>

namespace tonebath::science {

// Shares between 0 and 1.
struct ShareInterval {
    double lower = 0.0;
    double upper = 1.0;
};

// All take 0 <= hits <= seen and 0 < confidence < 1. With nothing seen the answer is 0 to 1: nothing is known.
// Wilson's score interval, two-sided, no continuity correction (Wilson 1927; Newcombe 1998 method 3).
[[nodiscard]] ShareInterval wilson_interval(long hits, long seen, double confidence = 0.95);
// Clopper and Pearson's exact interval, two-sided with equal tails (1934; Newcombe 1998 method 5).
[[nodiscard]] ShareInterval exact_interval(long hits, long seen, double confidence = 0.95);
// Exact limits, one-sided: the share is below (above) this with the confidence given.
[[nodiscard]] double exact_upper_limit(long hits, long seen, double confidence = 0.95);
[[nodiscard]] double exact_lower_limit(long hits, long seen, double confidence = 0.95);

// Smallest number of results, none of them a failure, that shows at the one-sided confidence that the share without
// failure is at least `reliability` (both between 0 and 1): reliability^n <= 1 - confidence.
[[nodiscard]] long zero_failure_sample(double reliability, double confidence = 0.95);
// How many more clean results bring exact_upper_limit() below `limit` (0 < limit < 1); 0 when it is there already,
// nothing when more than 1,000,000 would be needed.
[[nodiscard]] std::optional<long> clean_results_needed(long hits, long seen, double limit, double confidence = 0.95);

// Counts of two groups: hits and misses of the first, hits and misses of the second. None below 0.
struct TwoByTwo {
    long first_hits = 0;
    long first_misses = 0;
    long second_hits = 0;
    long second_misses = 0;
};
struct FisherTest {
    double two_sided = 1.0;  // all tables no more likely than the one seen (relative tolerance 1e-7 for ties)
    double greater = 1.0;    // as many hits in the first group or more
    double less = 1.0;       // as many or fewer
};
// Fisher's exact test with both margins fixed. 1 throughout when a row or a column is empty. Time grows with the
// smallest margin.
[[nodiscard]] FisherTest fisher_exact(const TwoByTwo& table);

}  // namespace tonebath::science
