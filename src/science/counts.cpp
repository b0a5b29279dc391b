#include "science/counts.hpp"

#include "base/check.hpp"
#include "science/normal.hpp"

#include <boost/math/special_functions/beta.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

namespace tonebath::science {

namespace {

void check_counts(long hits, long seen, double confidence) {
    TB_CHECK(hits >= 0 && hits <= seen && confidence > 0.0 && confidence < 1.0);
}

// Upper exact limit that leaves `tail` above it: quantile of Beta(x + 1, n - x).
double beta_upper(long hits, long seen, double tail) {
    if (hits == seen) {
        return 1.0;
    }
    return boost::math::ibetac_inv(static_cast<double>(hits) + 1.0, static_cast<double>(seen - hits), tail);
}

double beta_lower(long hits, long seen, double tail) {
    if (hits == 0) {
        return 0.0;
    }
    return boost::math::ibeta_inv(static_cast<double>(hits), static_cast<double>(seen - hits) + 1.0, tail);
}

// Probabilities of every first_hits that the margins allow, by the exact ratio of neighbours out from the most likely
// table, so that no large factorial is ever formed.
struct Hypergeometric {
    long first = 0;  // smallest first_hits
    std::vector<double> probability;
};

Hypergeometric tables_with_margins(const TwoByTwo& t) {
    const double n1 = static_cast<double>(t.first_hits + t.first_misses);
    const double n2 = static_cast<double>(t.second_hits + t.second_misses);
    const long hits = t.first_hits + t.second_hits;
    const double m = static_cast<double>(hits);
    Hypergeometric h;
    h.first = std::max(0L, hits - (t.second_hits + t.second_misses));
    const long last = std::min(hits, t.first_hits + t.first_misses);
    h.probability.resize(static_cast<std::size_t>(last - h.first) + 1);
    // p(x + 1) / p(x)
    const auto ratio = [&](long at) {
        const double x = static_cast<double>(at);
        return (n1 - x) * (m - x) / ((x + 1.0) * (n2 - m + x + 1.0));
    };
    const double mode_real = std::floor((n1 + 1.0) * (m + 1.0) / (n1 + n2 + 2.0));
    const long mode = std::clamp(static_cast<long>(mode_real), h.first, last);
    const auto slot = [&](long x) -> double& { return h.probability[static_cast<std::size_t>(x - h.first)]; };
    slot(mode) = 1.0;
    for (long x = mode; x < last; ++x) {
        slot(x + 1) = slot(x) * ratio(x);
    }
    for (long x = mode; x > h.first; --x) {
        slot(x - 1) = slot(x) / ratio(x - 1);
    }
    double sum = 0.0;
    for (const double p : h.probability) {
        sum += p;
    }
    for (double& p : h.probability) {
        p /= sum;
    }
    return h;
}

}  // namespace

ShareInterval wilson_interval(long hits, long seen, double confidence) {
    check_counts(hits, seen, confidence);
    const double z = normal_quantile(0.5 + 0.5 * confidence);
    const double n = static_cast<double>(seen);
    const double x = static_cast<double>(hits);
    const double middle = (x + 0.5 * z * z) / (n + z * z);
    const double half = seen == 0 ? 0.5 : z * std::sqrt(x * (n - x) / n + 0.25 * z * z) / (n + z * z);
    return {hits == 0 ? 0.0 : middle - half, hits == seen ? 1.0 : middle + half};
}

ShareInterval exact_interval(long hits, long seen, double confidence) {
    check_counts(hits, seen, confidence);
    const double tail = 0.5 * (1.0 - confidence);
    return {beta_lower(hits, seen, tail), beta_upper(hits, seen, tail)};
}

double exact_upper_limit(long hits, long seen, double confidence) {
    check_counts(hits, seen, confidence);
    return beta_upper(hits, seen, 1.0 - confidence);
}

double exact_lower_limit(long hits, long seen, double confidence) {
    check_counts(hits, seen, confidence);
    return beta_lower(hits, seen, 1.0 - confidence);
}

long zero_failure_sample(double reliability, double confidence) {
    TB_CHECK(reliability > 0.0 && reliability < 1.0 && confidence > 0.0 && confidence < 1.0);
    // A quotient that should be whole (0.5^2 = 0.25) may come out a rounding error above it.
    constexpr double kRounding = 1e-12;
    const double exact = std::log1p(-confidence) / std::log(reliability);
    TB_CHECK(exact < 1e15);
    return std::max(1L, static_cast<long>(std::ceil(exact * (1.0 - kRounding))));
}

std::optional<long> clean_results_needed(long hits, long seen, double limit, double confidence) {
    check_counts(hits, seen, confidence);
    TB_CHECK(limit > 0.0 && limit < 1.0);
    constexpr long kMost = 1'000'000;
    const auto enough = [&](long more) { return exact_upper_limit(hits, seen + more, confidence) < limit; };
    if (enough(0)) {
        return 0;
    }
    if (!enough(kMost)) {
        return std::nullopt;
    }
    long low = 0;  // not enough
    long high = kMost;
    while (high - low > 1) {
        const long middle = low + (high - low) / 2;
        (enough(middle) ? high : low) = middle;
    }
    return high;
}

FisherTest fisher_exact(const TwoByTwo& table) {
    TB_CHECK(table.first_hits >= 0 && table.first_misses >= 0 && table.second_hits >= 0 && table.second_misses >= 0);
    const Hypergeometric h = tables_with_margins(table);
    const double limit = h.probability[static_cast<std::size_t>(table.first_hits - h.first)] * (1.0 + 1e-7);
    FisherTest test{.two_sided = 0.0, .greater = 0.0, .less = 0.0};
    for (std::size_t i = 0; i < h.probability.size(); ++i) {
        const long x = h.first + static_cast<long>(i);
        const double p = h.probability[i];
        test.two_sided += p <= limit ? p : 0.0;
        test.greater += x >= table.first_hits ? p : 0.0;
        test.less += x <= table.first_hits ? p : 0.0;
    }
    return {std::min(1.0, test.two_sided), std::min(1.0, test.greater), std::min(1.0, test.less)};
}

}  // namespace tonebath::science
