// Fixed rules for averages over a normal distribution. No random numbers: the same input gives the same bits.
#pragma once

#include <cstddef>
#include <vector>

namespace tonebath::science {

// Nodes and weights for the mean of f(z), z standard normal: sum of weight * f(node). Weights sum to 1.
struct NormalRule {
    std::vector<double> nodes;
    std::vector<double> weights;
};

// Gauss-Hermite rule of 1 to 40 points, exact for polynomials up to degree 2 * points - 1. Nodes by Newton's method on
// the orthonormal Hermite polynomials (recurrence: Abramowitz and Stegun 22.7; weights 25.4.46).
[[nodiscard]] NormalRule gauss_hermite(std::size_t points);

// Gauss-Legendre rule of 1 to 40 points for the integral over [-1, 1]; weights sum to 2 (Abramowitz and Stegun 25.4.29).
struct LineRule {
    std::vector<double> nodes;
    std::vector<double> weights;
};
[[nodiscard]] LineRule gauss_legendre(std::size_t points);

// Nodes in d dimensions; node i is points[i * d .. i * d + d).
struct NormalCubature {
    std::size_t dimensions = 0;
    std::vector<double> points;
    std::vector<double> weights;
    [[nodiscard]] std::size_t size() const { return weights.size(); }
};

// Product of d Gauss-Hermite rules: points^d nodes.
[[nodiscard]] NormalCubature product_rule(std::size_t dimensions, std::size_t points);

// Degree 5 with 2 d^2 + 1 nodes at 0, +-sqrt(3) and (+-sqrt(3), +-sqrt(3)); d = 1 to 4, where no weight is negative.
// At d = 2 it is the 3 x 3 product rule. McNamee and Stenger 1967, Numer. Math. 10:327 (from memory; the moments up to
// degree 5 are checked in the tests).
[[nodiscard]] NormalCubature degree_five_rule(std::size_t dimensions);

}  // namespace tonebath::science
