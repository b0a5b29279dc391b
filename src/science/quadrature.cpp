#include "science/quadrature.hpp"

#include "base/check.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tonebath::science {

namespace {

// Orthonormal probabilists' Hermite polynomials: value of degree n and n - 1 at x.
struct HermiteValue {
    double at_n = 0.0;
    double at_n_less_1 = 0.0;
};

HermiteValue hermite(std::size_t n, double x) {
    double before = 0.0;
    double now = 1.0;
    for (std::size_t j = 1; j <= n; ++j) {
        const double k = static_cast<double>(j);
        const double next = (x * now - std::sqrt(k - 1.0) * before) / std::sqrt(k);
        before = now;
        now = next;
    }
    return {now, before};
}

}  // namespace

NormalRule gauss_hermite(std::size_t points) {
    TB_CHECK(points >= 1 && points <= 40);
    const double n = static_cast<double>(points);
    // Bracket every root by a fine scan: neighbouring roots lie further apart than pi / sqrt(4 n + 2), in units of x.
    const double reach = std::sqrt(4.0 * n + 2.0) + 1.0;
    const double step = 0.2 * std::numbers::pi / std::sqrt(4.0 * n + 2.0);
    NormalRule rule;
    double left = -reach;
    double value_left = hermite(points, left).at_n;
    while (left < reach) {
        const double right = left + step;
        const double value_right = hermite(points, right).at_n;
        if ((value_left < 0.0) != (value_right < 0.0)) {
            double x = 0.5 * (left + right);
            for (int i = 0; i < 50; ++i) {
                const HermiteValue h = hermite(points, x);
                const double move = h.at_n / (std::sqrt(n) * h.at_n_less_1);
                x -= move;
                if (std::abs(move) < 1e-15 * (1.0 + std::abs(x))) {
                    break;
                }
            }
            const double slope = hermite(points, x).at_n_less_1;
            rule.nodes.push_back(x);
            rule.weights.push_back(1.0 / (n * slope * slope));
        }
        left = right;
        value_left = value_right;
    }
    TB_CHECK(rule.nodes.size() == points);
    return rule;
}

LineRule gauss_legendre(std::size_t points) {
    TB_CHECK(points >= 1 && points <= 40);
    const double n = static_cast<double>(points);
    LineRule rule;
    for (std::size_t i = points; i-- > 0;) {
        double x = std::cos(std::numbers::pi * (static_cast<double>(i) + 0.75) / (n + 0.5));
        double slope = 0.0;
        for (int step = 0; step < 50; ++step) {
            double before = 1.0;
            double now = x;
            for (std::size_t j = 2; j <= points; ++j) {
                const double k = static_cast<double>(j);
                const double next = ((2.0 * k - 1.0) * x * now - (k - 1.0) * before) / k;
                before = now;
                now = next;
            }
            slope = n * (x * now - before) / (x * x - 1.0);
            const double move = now / slope;
            x -= move;
            if (std::abs(move) < 1e-15) {
                break;
            }
        }
        rule.nodes.push_back(x);
        rule.weights.push_back(2.0 / ((1.0 - x * x) * slope * slope));
    }
    return rule;
}

NormalCubature product_rule(std::size_t dimensions, std::size_t points) {
    const NormalRule line = gauss_hermite(points);
    NormalCubature rule{dimensions, {}, {}};
    std::vector<std::size_t> index(dimensions, 0);
    for (;;) {
        double weight = 1.0;
        for (const std::size_t i : index) {
            rule.points.push_back(line.nodes[i]);
            weight *= line.weights[i];
        }
        rule.weights.push_back(weight);
        std::size_t d = 0;
        while (d < dimensions && ++index[d] == points) {
            index[d++] = 0;
        }
        if (d == dimensions) {
            return rule;
        }
    }
}

NormalCubature degree_five_rule(std::size_t dimensions) {
    TB_CHECK(dimensions >= 1 && dimensions <= 4);
    const double d = static_cast<double>(dimensions);
    const double r = std::sqrt(3.0);
    NormalCubature rule{dimensions, {}, {}};
    std::vector<double> point(dimensions, 0.0);
    const auto add = [&](double weight) {
        rule.points.insert(rule.points.end(), point.begin(), point.end());
        rule.weights.push_back(weight);
    };
    add((d * d - 7.0 * d + 18.0) / 18.0);
    for (std::size_t i = 0; i < dimensions; ++i) {
        for (const double sign : {-1.0, 1.0}) {
            std::ranges::fill(point, 0.0);
            point[i] = sign * r;
            add((4.0 - d) / 18.0);
        }
        for (std::size_t j = 0; j < i; ++j) {
            for (const double one : {-1.0, 1.0}) {
                for (const double other : {-1.0, 1.0}) {
                    std::ranges::fill(point, 0.0);
                    point[i] = one * r;
                    point[j] = other * r;
                    add(1.0 / 36.0);
                }
            }
        }
    }
    return rule;
}

}  // namespace tonebath::science
