#include "science/colour_difference.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tonebath::science {

namespace {

// Notation of Sharma, Wu and Dalal 2005: a prime marks the values after a* is stretched by 1 + G; angles in degrees.
constexpr double kRadian = std::numbers::pi / 180.0;
// Hues this close to 180 degrees apart count as exactly opposite, so that rounding in atan2 does not choose the branch.
constexpr double kOpposite_deg = 180.0 + 1e-9;

double cos_deg(double angle) {
    return std::cos(angle * kRadian);
}

double pow7(double value) {
    return std::pow(value, 7.0);
}

double hue_deg(double a, double b) {
    if (a == 0.0 && b == 0.0) {
        return 0.0;
    }
    const double h = std::atan2(b, a) / kRadian;
    return h < 0.0 ? h + 360.0 : h;
}

struct Hues {
    double difference_deg;
    double mean_deg;
};

// Equations 10 and 14. A colour without chroma has no hue and takes that of the other.
Hues hue_pair(double h1, double h2, bool either_grey) {
    const double gap = h2 - h1;
    if (either_grey) {
        return {0.0, h1 + h2};
    }
    if (std::abs(gap) <= kOpposite_deg) {
        return {gap, 0.5 * (h1 + h2)};
    }
    const double mean = 0.5 * (h1 + h2 + (h1 + h2 < 360.0 ? 360.0 : -360.0));
    return {gap > 0.0 ? gap - 360.0 : gap + 360.0, mean};
}

}  // namespace

double delta_e76(const Lab& first, const Lab& second) {
    return std::hypot(first.l - second.l, first.a - second.a, first.b - second.b);
}

double delta_e2000(const Lab& first, const Lab& second) {
    constexpr double k25To7 = 6103515625.0;
    const double c_mean7 = pow7(0.5 * (std::hypot(first.a, first.b) + std::hypot(second.a, second.b)));
    const double g = 0.5 * (1.0 - std::sqrt(c_mean7 / (c_mean7 + k25To7)));
    const double a1 = (1.0 + g) * first.a;
    const double a2 = (1.0 + g) * second.a;
    const double c1 = std::hypot(a1, first.b);
    const double c2 = std::hypot(a2, second.b);
    const Hues h = hue_pair(hue_deg(a1, first.b), hue_deg(a2, second.b), c1 * c2 == 0.0);

    const double d_l = second.l - first.l;
    const double d_c = c2 - c1;
    const double d_h = 2.0 * std::sqrt(c1 * c2) * std::sin(0.5 * h.difference_deg * kRadian);

    const double l_off = 0.5 * (first.l + second.l) - 50.0;
    const double c_mean = 0.5 * (c1 + c2);
    const double t = 1.0 - 0.17 * cos_deg(h.mean_deg - 30.0) + 0.24 * cos_deg(2.0 * h.mean_deg) +
                     0.32 * cos_deg(3.0 * h.mean_deg + 6.0) - 0.20 * cos_deg(4.0 * h.mean_deg - 63.0);
    const double s_l = 1.0 + 0.015 * l_off * l_off / std::sqrt(20.0 + l_off * l_off);
    const double s_c = 1.0 + 0.045 * c_mean;
    const double s_h = 1.0 + 0.015 * c_mean * t;
    const double turn = (h.mean_deg - 275.0) / 25.0;
    const double d_theta_deg = 30.0 * std::exp(-turn * turn);
    const double c_prime7 = pow7(c_mean);
    const double r_t = -2.0 * std::sqrt(c_prime7 / (c_prime7 + k25To7)) * std::sin(2.0 * d_theta_deg * kRadian);

    const double l = d_l / s_l;
    const double c = d_c / s_c;
    const double hue = d_h / s_h;
    return std::sqrt(std::max(0.0, l * l + c * c + hue * hue + r_t * c * hue));
}

double relative_luminance(const Srgb& colour) {
    // Weights as WCAG 2.1 prints them. Its join at 0.03928 and the one of sRGB at 0.04045 part no two 8-bit values.
    const LinearRgb linear = linear_from_srgb(clipped(colour));
    return 0.2126 * linear.r + 0.7152 * linear.g + 0.0722 * linear.b;
}

double contrast_ratio(const Srgb& first, const Srgb& second) {
    const auto [low, high] = std::minmax({relative_luminance(first), relative_luminance(second)});
    return (high + 0.05) / (low + 0.05);
}

}  // namespace tonebath::science
