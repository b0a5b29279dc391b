// Site moments against brute-force integration, and the rules behind them.
#include "science/noise_site.hpp"

#include "science/normal.hpp"
#include "science/quadrature.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

double student_density(double x, double df) {
    return std::exp(std::lgamma(0.5 * (df + 1.0)) - std::lgamma(0.5 * df)) / std::sqrt(df * M_PI) *
           std::pow(1.0 + x * x / df, -0.5 * (df + 1.0));
}

}  // namespace

TEST_CASE("normal rules are exact for the polynomials they promise", "[learn]") {
    // Moments of the standard normal: 1, 0, 1, 0, 3, 0, 15, ... (double factorials).
    for (const std::size_t points : {1U, 2U, 3U, 5U, 9U, 15U, 40U}) {
        const NormalRule rule = gauss_hermite(points);
        double moment = 1.0;
        for (std::size_t degree = 0; degree < 2 * points && degree < 20; degree += 2) {
            double sum = 0.0;
            for (std::size_t i = 0; i < points; ++i) {
                sum += rule.weights[i] * std::pow(rule.nodes[i], static_cast<double>(degree));
            }
            CHECK_THAT(sum, WithinRel(moment, 1e-11));
            moment *= static_cast<double>(degree) + 1.0;
        }
    }
    const LineRule line = gauss_legendre(24);
    double even = 0.0;
    for (std::size_t i = 0; i < line.nodes.size(); ++i) {
        even += line.weights[i] * std::pow(line.nodes[i], 40.0);
    }
    CHECK_THAT(even, WithinRel(2.0 / 41.0, 1e-12));
    for (const std::size_t d : {1U, 2U, 3U, 4U}) {
        const NormalCubature rule = degree_five_rule(d);
        CHECK(rule.size() == 2 * d * d + 1);
        double weight = 0.0;
        double second = 0.0;
        double fourth = 0.0;
        double mixed = 0.0;
        for (std::size_t i = 0; i < rule.size(); ++i) {
            const double x = rule.points[i * d];
            const double y = d > 1 ? rule.points[i * d + 1] : 1.0;
            CHECK(rule.weights[i] >= 0.0);
            weight += rule.weights[i];
            second += rule.weights[i] * x * x;
            fourth += rule.weights[i] * x * x * x * x;
            mixed += rule.weights[i] * x * x * y * y;
        }
        CHECK_THAT(weight, WithinRel(1.0, 1e-13));
        CHECK_THAT(second, WithinRel(1.0, 1e-13));
        CHECK_THAT(fourth, WithinRel(3.0, 1e-13));
        CHECK_THAT(mixed, WithinRel(1.0, 1e-13));
    }
}

TEST_CASE("Student noise: density and tail of the mixture", "[learn]") {
    // Abramowitz and Stegun 26.7 for the density; the distribution of t(4) in closed form.
    for (const double df : {3.0, 4.0, 10.0}) {
        const NoiseMixture mix = student_noise(df);
        for (const double x : {0.0, 0.5, 2.0, 6.0}) {
            const SiteMoments m = site_moments(RowKind::exact, {x}, 0.0, 1.0, mix);
            CHECK_THAT(std::exp(m.log_z), WithinRel(student_density(x, df), 1e-7));
        }
    }
    const auto t4_upper = [](double t) {
        const double r = t / std::sqrt(4.0 + t * t);
        return 0.5 - 0.5 * r * (1.0 + 2.0 / (4.0 + t * t));
    };
    for (const double t : {0.3, 1.0, 3.0, 10.0}) {
        const SiteMoments m = site_moments(RowKind::at_least, {-t}, 0.0, 1.0, student_noise(4.0));
        CHECK_THAT(std::exp(m.log_z), WithinRel(t4_upper(t), 1e-6));
    }
}

TEST_CASE("derivatives of a site are those of its log mass", "[learn]") {
    constexpr double h = 1e-4;
    for (const bool student : {false, true}) {
        const NoiseMixture noise = student ? student_noise(4.0) : normal_noise();
        for (const RowKind kind : {RowKind::exact, RowKind::interval, RowKind::at_least, RowKind::at_most}) {
            const SiteBelief b{0.15, 0.05, 0.35, kind == RowKind::interval ? 0.004 : 0.0,
                               kind == RowKind::interval ? -0.002 : 0.0};
            const auto at = [&](double df, double dw, double ds) {
                SiteBelief moved = b;
                moved.mean_f += df;
                moved.mean_w += dw;
                return site_moments(kind, moved, 0.01, 0.02 + ds, noise);
            };
            const SiteMoments m = at(0, 0, 0);
            CHECK_THAT(m.slope[0], WithinAbs((at(h, 0, 0).log_z - at(-h, 0, 0).log_z) / (2 * h), 2e-6));
            CHECK_THAT(m.bend[0], WithinAbs(-(at(h, 0, 0).slope[0] - at(-h, 0, 0).slope[0]) / (2 * h), 2e-5));
            CHECK_THAT(m.slope_scatter, WithinAbs((at(0, 0, h).log_z - at(0, 0, -h).log_z) / (2 * h), 2e-3));
            if (kind == RowKind::interval) {
                CHECK_THAT(m.slope[1], WithinAbs((at(0, h, 0).log_z - at(0, -h, 0).log_z) / (2 * h), 2e-6));
                CHECK_THAT(m.bend[1], WithinAbs(-(at(0, h, 0).slope[0] - at(0, -h, 0).slope[0]) / (2 * h), 2e-5));
                CHECK_THAT(m.bend[2], WithinAbs(-(at(0, h, 0).slope[1] - at(0, -h, 0).slope[1]) / (2 * h), 2e-5));
            }
        }
    }
}

TEST_CASE("an uncertain interval: mass against a fine sum over both", "[learn]") {
    // Reference: midpoint sum over w and f, likelihood a difference of erfc. Widths from well known to hardly known.
    for (const double sd_w : {0.02, 0.1, 0.25}) {
        for (const double mean_f : {-0.4, 0.1, 0.3, 1.2}) {
            const double var_f = 0.09;
            const double mean_w = 0.4;
            const double cov = -0.5 * 0.3 * sd_w;
            const double noise_var = 0.0256;
            double z = 0.0;
            double first = 0.0;
            const double tilt = cov / (sd_w * sd_w);
            const double sd_left = std::sqrt(var_f - tilt * cov);
            constexpr double kStep = 0.01;
            for (double u = -8.0; u < 8.0; u += kStep) {
                const double w = mean_w + sd_w * u;
                if (w <= 0.0) {
                    continue;
                }
                for (double v = -8.0; v < 8.0; v += 0.02) {
                    const double f = mean_f + tilt * sd_w * u + sd_left * v;
                    const double s = std::sqrt(noise_var);
                    const double like = normal_cdf((w - f) / s) - normal_cdf(-f / s);
                    const double mass = normal_pdf(u) * normal_pdf(v) * like * kStep * 0.02;
                    z += mass;
                    first += mass * f;
                }
            }
            const SiteMoments m =
                site_moments(RowKind::interval, {mean_f, var_f, mean_w, sd_w * sd_w, cov}, 0.0, noise_var, normal_noise());
            const double tilted = mean_f + var_f * m.slope[0] + cov * m.slope[1];
            INFO("sd of width " << sd_w << ", mean " << mean_f);
            CHECK_THAT(std::exp(m.log_z), WithinRel(z, 2e-3));
            CHECK_THAT(tilted, WithinAbs(first / z, 2e-3));
        }
    }
}

TEST_CASE("far tails keep their digits", "[learn]") {
    // log Phi(-40) by the asymptotic series (Abramowitz and Stegun 26.2.12): -804.608442...
    const SiteMoments far = site_moments(RowKind::at_least, {-40.0, 0.5}, 0.5, 0.0, normal_noise());
    CHECK_THAT(far.log_z, WithinAbs(-804.608442013754, 1e-9));
    CHECK_THAT(far.slope[0], WithinRel(40.0249688472, 1e-8));  // phi/Phi at -40
    const SiteMoments interval = site_moments(RowKind::interval, {-60.0, 0.5, 1.0}, 0.5, 0.0, normal_noise());
    CHECK(std::isfinite(interval.log_z));
    CHECK_THAT(interval.slope[0], WithinRel(60.01665742, 1e-9));
    const SiteMoments narrow = site_moments(RowKind::interval, {0.3, 0.5, 1e-9}, 0.5, 0.0, normal_noise());
    CHECK_THAT(narrow.log_z, WithinAbs(std::log(1e-9 * normal_pdf(0.3)), 1e-6));
}
