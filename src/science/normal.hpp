// Standard normal distribution, in the forms that keep their digits far out in the tails.
#pragma once

namespace tonebath::science {

// 80 of 100 of a normal lie within so many standard deviations of its middle: normal_quantile(0.9).
inline constexpr double kEightyOfHundred = 1.2815515655446004;

// Density at x.
[[nodiscard]] double normal_pdf(double x);
// log of the density at x.
[[nodiscard]] double normal_log_pdf(double x);
// P(X <= x), by erfc: relative error near 1 ulp down to about x = -37.
[[nodiscard]] double normal_cdf(double x);
// log P(X <= x) for any finite x. Below -8 the asymptotic series log(phi(x)/-x (1 - 1/x^2 + 3/x^4 - ...)) is used,
// relative error below 1e-9 there (the terms fall off faster than they grow until 1/x^10). Abramowitz and Stegun 26.2.12.
[[nodiscard]] double normal_log_cdf(double x);
// log P(low < X <= high), low < high, ends may be infinite. Works in the nearer tail, so that a far interval keeps its
// digits: relative error of the probability below 1e-9 unless high - low is under 1e-7.
[[nodiscard]] double normal_log_interval(double low, double high);
// x with P(X <= x) = p, 0 < p < 1 (Boost.Math erfc_inv).
[[nodiscard]] double normal_quantile(double p);

}  // namespace tonebath::science
