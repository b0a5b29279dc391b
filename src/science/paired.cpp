#include "science/paired.hpp"

#include "science/students_t.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace tonebath::science {

std::optional<MeanRange> mean_range(std::span<const double> values, double share) {
    const auto finite = [](double value) { return std::isfinite(value); };
    if (values.size() < 2 || !std::all_of(values.begin(), values.end(), finite)) {
        return std::nullopt;
    }
    MeanRange range{.n = values.size()};
    const auto n = static_cast<double>(values.size());
    range.mean = std::accumulate(values.begin(), values.end(), 0.0) / n;
    double ss = 0.0;
    for (const double value : values) {
        ss += (value - range.mean) * (value - range.mean);
    }
    range.sd = std::sqrt(ss / (n - 1.0));
    const double half = two_sided_quantile(share, values.size() - 1) * range.sd / std::sqrt(n);
    range.low = range.mean - half;
    range.high = range.mean + half;
    return range;
}

std::optional<MeanRange> group_difference(std::span<const double> one, std::span<const double> other, double share) {
    const auto a = mean_range(one, share);
    const auto b = mean_range(other, share);
    if (!a || !b) {
        return std::nullopt;
    }
    const auto na = static_cast<double>(a->n);
    const auto nb = static_cast<double>(b->n);
    const double va = a->sd * a->sd / na;
    const double vb = b->sd * b->sd / nb;
    MeanRange range{.n = a->n + b->n, .mean = a->mean - b->mean};
    range.low = range.high = range.mean;
    if (va + vb > 0.0) {
        const double df = (va + vb) * (va + vb) / (va * va / (na - 1.0) + vb * vb / (nb - 1.0));
        const double half = two_sided_quantile(share, std::max<std::size_t>(1, static_cast<std::size_t>(df))) * std::sqrt(va + vb);
        range.low -= half;
        range.high += half;
    }
    return range;
}

}  // namespace tonebath::science
