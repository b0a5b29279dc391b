#include "science/normal.hpp"

#include "base/check.hpp"

#include <boost/math/special_functions/erf.hpp>

#include <cmath>
#include <numbers>

namespace tonebath::science {

namespace {
constexpr double kLogSqrtTwoPi = 0.91893853320467274178;
}

double normal_pdf(double x) { return std::exp(-0.5 * x * x - kLogSqrtTwoPi); }

double normal_log_pdf(double x) { return -0.5 * x * x - kLogSqrtTwoPi; }

double normal_cdf(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

double normal_log_cdf(double x) {
    if (x > 5.0) {
        return std::log1p(-0.5 * std::erfc(x / std::numbers::sqrt2));
    }
    if (x > -8.0) {
        return std::log(normal_cdf(x));
    }
    const double r = 1.0 / (x * x);
    const double series = 1.0 - r * (1.0 - 3.0 * r * (1.0 - 5.0 * r * (1.0 - 7.0 * r * (1.0 - 9.0 * r))));
    return -0.5 * x * x - kLogSqrtTwoPi - std::log(-x) + std::log(series);
}

double normal_log_interval(double low, double high) {
    TB_CHECK(low < high);
    if (low > 0.0) {  // P(low < X <= high) = P(-high <= X < -low)
        return normal_log_interval(-high, -low);
    }
    if (high > -30.0) {
        return std::log(normal_cdf(high) - normal_cdf(low));
    }
    const double log_high = normal_log_cdf(high);
    return log_high + std::log1p(-std::exp(normal_log_cdf(low) - log_high));
}

double normal_quantile(double p) {
    TB_CHECK(p > 0.0 && p < 1.0);
    return -std::numbers::sqrt2 * boost::math::erfc_inv(2.0 * p);
}

}  // namespace tonebath::science
