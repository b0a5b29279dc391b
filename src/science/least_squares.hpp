// Plain least squares, straight and curved: the arithmetic behind lines fitted to strips alone.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

struct LeastSquaresFit {
    std::vector<double> coef;
    std::vector<double> coef_se;     // from residual_sd; empty without degrees of freedom
    std::vector<double> covariance;  // row-major, residual_sd^2 (X'X)^-1; empty without degrees of freedom
    double residual_ss = 0.0;
    double residual_sd = 0.0;
    std::size_t degrees_of_freedom = 0;
    bool converged = true;
    int steps = 0;
};

// Linear: y = X coef, X row-major with y.size() rows. Householder QR on columns scaled to length 1, in long double (64
// bits of mantissa on x86-64), so that badly conditioned polynomials keep their digits: NIST StRD Filip to 7 digits and
// more (tests/science/least_squares_test.cpp). nullopt: fewer rows than columns, a value not finite, or columns that
// depend on one another to working precision.
[[nodiscard]] std::optional<LeastSquaresFit> linear_least_squares(std::span<const double> x, std::span<const double> y);

// Curved: least squares of residual(coef) by Levenberg-Marquardt with Marquardt's scaling (Marquardt 1963, from memory).
// The caller fills residual (rows) and jacobian (rows x coefs, row-major, d residual / d coef).
using ResidualFunction =
    std::function<void(std::span<const double> coef, std::span<double> residual, std::span<double> jacobian)>;
// nullopt: no rows or fewer than coefs, or not finite at the start. `converged` says whether the steps died down.
[[nodiscard]] std::optional<LeastSquaresFit> nonlinear_least_squares(const ResidualFunction& residual,
                                                                     std::span<const double> start, std::size_t rows);

}  // namespace tonebath::science
