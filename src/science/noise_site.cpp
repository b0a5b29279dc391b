#include "science/noise_site.hpp"

#include "base/check.hpp"
#include "science/normal.hpp"
#include "science/quadrature.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <optional>
#include <span>

namespace tonebath::science {

namespace {

// Z of one component with its derivatives divided by Z: first (f, w), second (ff, fw, ww).
struct Component {
    double log_z = 0.0;
    double f = 0.0;
    double w = 0.0;
    double ff = 0.0;
    double fw = 0.0;
    double ww = 0.0;
};

Component exact_component(double mean, double var) {
    const double f = -mean / var;
    return {-0.5 * std::log(2.0 * std::numbers::pi * var) - 0.5 * mean * mean / var, f, 0.0, f * f - 1.0 / var, 0.0, 0.0};
}

Component one_sided_component(double mean, double sd, double sign) {
    const double z = sign * mean / sd;
    const double log_z = normal_log_cdf(z);
    const double ratio = std::exp(normal_log_pdf(z) - log_z);
    return {log_z, sign * ratio / sd, 0.0, -ratio * z / (sd * sd), 0.0, 0.0};
}

Component interval_component(double mean, double sd, double width) {
    if (width < 1e-5 * sd) {  // so narrow that the difference would lose its digits: a point at the middle
        Component point = exact_component(mean - 0.5 * width, sd * sd);
        point.log_z += std::log(width);
        point.w = 1.0 / width;
        return point;
    }
    const double low = -mean / sd;
    const double high = (width - mean) / sd;
    const double log_z = normal_log_interval(low, high);
    const double at_low = std::exp(normal_log_pdf(low) - log_z);
    const double at_high = std::exp(normal_log_pdf(high) - log_z);
    const double var = sd * sd;
    return {log_z,
            (at_low - at_high) / sd,
            at_high / sd,
            (low * at_low - high * at_high) / var,
            high * at_high / var,
            -high * at_high / var};
}

Component component_of(RowKind kind, double mean, double var, double width) {
    switch (kind) {
        case RowKind::exact:
            return exact_component(mean, var);
        case RowKind::at_least:
            return one_sided_component(mean, std::sqrt(var), 1.0);
        case RowKind::at_most:
            return one_sided_component(mean, std::sqrt(var), -1.0);
        case RowKind::interval:
            return interval_component(mean, std::sqrt(var), width);
    }
    TB_CHECK(false);
}

// Weighted sum of components, kept in logs: everything is relative to the largest log Z so far.
class Sum {
public:
    void add(const Component& c, double log_weight, double variance_factor) {
        const double log_mass = c.log_z + log_weight;
        if (log_mass > top_) {
            const double shrink = std::exp(top_ - log_mass);
            for (double& part : parts_) {
                part *= shrink;
            }
            top_ = log_mass;
        }
        const double mass = std::exp(log_mass - top_);
        parts_[0] += mass;
        parts_[1] += mass * c.f;
        parts_[2] += mass * c.w;
        parts_[3] += mass * c.ff;
        parts_[4] += mass * c.fw;
        parts_[5] += mass * c.ww;
        parts_[6] += mass * 0.5 * c.ff * variance_factor;
    }

    // Extra second derivative along w, as a share of the whole mass: exp(log_mass) is not a mass of its own.
    void add_kink(double log_mass) { parts_[5] += std::exp(log_mass - top_); }

    [[nodiscard]] SiteMoments moments() const {
        const double f = parts_[1] / parts_[0];
        const double w = parts_[2] / parts_[0];
        SiteMoments out;
        out.log_z = top_ + std::log(parts_[0]);
        out.slope = {f, w};
        out.bend = {f * f - parts_[3] / parts_[0], f * w - parts_[4] / parts_[0], w * w - parts_[5] / parts_[0]};
        out.slope_scatter = parts_[6] / parts_[0];
        return out;
    }

private:
    double top_ = -std::numeric_limits<double>::infinity();
    std::array<double, 7> parts_ = {};
};

SiteMoments single(const Component& c) {
    return {c.log_z, {c.f, c.w}, {c.f * c.f - c.ff, c.f * c.w - c.fw, c.w * c.w - c.ww}, 0.5 * c.ff};
}

// Points over the belief of w: few when w is well known against the noise it meets.
const NormalRule& rule_for(double spread_ratio) {
    static const NormalRule three = gauss_hermite(3);
    static const NormalRule five = gauss_hermite(5);
    static const NormalRule nine = gauss_hermite(9);
    static const NormalRule fifteen = gauss_hermite(15);
    if (spread_ratio < 0.1) {
        return three;
    }
    if (spread_ratio < 0.4) {
        return five;
    }
    return spread_ratio < 1.0 ? nine : fifteen;
}

// The same sum in plain numbers, for masses far from underflow: twice as quick. Used first; a tiny total sends the caller
// back to logs.
class QuickSum {
public:
    void add(double mean, double sd, double width, double weight, double factor) {
        const double low = -mean / sd;
        const double high = (width - mean) / sd;
        const double at_low = weight * normal_pdf(low) / sd;
        const double at_high = weight * normal_pdf(high) / sd;
        // In the nearer tail, so that a far interval keeps its digits.
        const double mass = low > 0.0 ? normal_cdf(-low) - normal_cdf(-high) : normal_cdf(high) - normal_cdf(low);
        const double bend = (low * at_low - high * at_high) / sd;
        z_ += weight * mass;
        f_ += at_low - at_high;
        w_ += at_high;
        ff_ += bend;
        fw_ += high * at_high / sd;
        scatter_ += 0.5 * factor * bend;
    }
    void add_kink(double mass) { kink_ += mass; }
    [[nodiscard]] bool sound() const { return z_ > 1e-100; }
    [[nodiscard]] SiteMoments moments() const {
        const double f = f_ / z_;
        const double w = w_ / z_;
        return {std::log(z_), {f, w}, {f * f - ff_ / z_, f * w - fw_ / z_, w * w + (fw_ - kink_) / z_}, scatter_ / z_};
    }

private:
    double z_ = 0.0;
    double f_ = 0.0;
    double w_ = 0.0;
    double ff_ = 0.0;
    double fw_ = 0.0;
    double kink_ = 0.0;
    double scatter_ = 0.0;
};

constexpr double kLeastWidth = 1e-3;  // ours: thresholds that crossed in belief are held this far apart (log dose)
constexpr double kReach = 6.5;        // ours: sd of w integrated over

const LineRule& crossing_rule() {
    static const LineRule rule = gauss_legendre(20);
    return rule;
}

// The belief of w reaches down to thresholds that cross: no mass there, so the integral starts at w = 0, where the
// likelihood has a kink that the last term accounts for in the second derivative.
bool add_crossing_width(Sum& sum, const SiteBelief& b, double tilt, double sd_w, double sd, double log_weight,
                        double factor) {
    const LineRule& rule = crossing_rule();
    const double low = std::max(0.0, b.mean_w - kReach * sd_w);
    const double high = b.mean_w + kReach * sd_w;
    if (high <= 0.0) {
        return false;
    }
    const double half = 0.5 * (high - low);
    for (std::size_t i = 0; i < rule.nodes.size(); ++i) {
        const double width = low + half * (1.0 + rule.nodes[i]);
        const double u = (width - b.mean_w) / sd_w;
        const double log_mass = std::log(rule.weights[i] * half / sd_w) + normal_log_pdf(u);
        sum.add(interval_component(b.mean_f + tilt * sd_w * u, sd, width), log_weight + log_mass, factor);
    }
    const double mean_at_0 = b.mean_f - tilt * b.mean_w;
    const double log_kink = normal_log_pdf(-b.mean_w / sd_w) - std::log(sd_w) + normal_log_pdf(mean_at_0 / sd) - std::log(sd);
    sum.add_kink(log_weight + log_kink);
    return true;
}

void add_uncertain_width(Sum& sum, const SiteBelief& b, double noise_var, double log_weight, double factor) {
    const double tilt = b.cov_fw / b.var_w;
    const double sd = std::sqrt(std::max(b.var_f - tilt * b.cov_fw, 0.0) + noise_var);
    const double sd_w = std::sqrt(b.var_w);
    if (b.mean_w < 4.0 * sd_w) {
        if (!add_crossing_width(sum, b, tilt, sd_w, sd, log_weight, factor)) {
            sum.add(interval_component(b.mean_f, sd, kLeastWidth), log_weight, factor);
        }
        return;
    }
    const NormalRule& rule = rule_for(sd_w * std::max(std::abs(1.0 - tilt), std::abs(tilt)) / sd);
    for (std::size_t i = 0; i < rule.nodes.size(); ++i) {
        const double width = std::max(b.mean_w + sd_w * rule.nodes[i], kLeastWidth);
        const double mean = b.mean_f + tilt * sd_w * rule.nodes[i];
        sum.add(interval_component(mean, sd, width), log_weight + std::log(rule.weights[i]), factor);
    }
}

std::optional<SiteMoments> quick_uncertain_width(const SiteBelief& b, double noise_var) {
    const double tilt = b.cov_fw / b.var_w;
    const double sd = std::sqrt(std::max(b.var_f - tilt * b.cov_fw, 0.0) + noise_var);
    const double sd_w = std::sqrt(b.var_w);
    QuickSum sum;
    if (b.mean_w < 4.0 * sd_w) {
        const double low = std::max(0.0, b.mean_w - kReach * sd_w);
        const double half = 0.5 * (b.mean_w + kReach * sd_w - low);
        if (half <= 0.0) {
            return std::nullopt;
        }
        const LineRule& rule = crossing_rule();
        for (std::size_t i = 0; i < rule.nodes.size(); ++i) {
            const double width = low + half * (1.0 + rule.nodes[i]);
            const double u = (width - b.mean_w) / sd_w;
            sum.add(b.mean_f + tilt * sd_w * u, sd, width, rule.weights[i] * half / sd_w * normal_pdf(u), 1.0);
        }
        const double mean_at_0 = b.mean_f - tilt * b.mean_w;
        sum.add_kink(normal_pdf(b.mean_w / sd_w) / sd_w * normal_pdf(mean_at_0 / sd) / sd);
    } else {
        const NormalRule& rule = rule_for(sd_w * std::max(std::abs(1.0 - tilt), std::abs(tilt)) / sd);
        for (std::size_t i = 0; i < rule.nodes.size(); ++i) {
            const double width = std::max(b.mean_w + sd_w * rule.nodes[i], kLeastWidth);
            sum.add(b.mean_f + tilt * sd_w * rule.nodes[i], sd, width, rule.weights[i], 1.0);
        }
    }
    if (!sum.sound()) {
        return std::nullopt;
    }
    return sum.moments();
}

}  // namespace

NoiseMixture normal_noise() { return {}; }

NoiseMixture student_noise(double df) {
    TB_CHECK(df >= 1.0 && df <= 60.0);
    // Density of r = log q is proportional to exp(df/2 (r - e^r)): trapezium rule over all that weighs above e^-26.
    const double half = 0.5 * df;
    const double step = 0.42 / std::sqrt(half);
    NoiseMixture mix{{}, {}};
    double sum = 0.0;
    const auto add = [&](double r) {
        const double log_weight = half * (r - std::exp(r) + 1.0);
        if (log_weight < -26.0) {
            return false;
        }
        mix.variance_factor.push_back(std::exp(-r));
        mix.log_weight.push_back(log_weight);
        sum += std::exp(log_weight);
        return true;
    };
    for (double r = 0.0; add(r); r -= step) {
    }
    for (double r = step; add(r); r += step) {
    }
    for (double& w : mix.log_weight) {
        w -= std::log(sum);
    }
    return mix;
}

SiteMoments site_moments(RowKind kind, const SiteBelief& belief, double fixed_var, double scatter_var,
                         const NoiseMixture& noise) {
    const bool uncertain_width = kind == RowKind::interval && belief.var_w > 0.0;
    const std::size_t parts = scatter_var > 0.0 ? noise.variance_factor.size() : 1;
    if (parts == 1 && !uncertain_width) {
        return single(component_of(kind, belief.mean_f, belief.var_f + fixed_var + scatter_var, belief.mean_w));
    }
    if (parts == 1) {
        if (const auto quick = quick_uncertain_width(belief, fixed_var + scatter_var)) {
            return *quick;
        }
    }
    Sum sum;
    for (std::size_t i = 0; i < parts; ++i) {
        const double factor = parts == 1 ? 1.0 : noise.variance_factor[i];
        const double log_weight = parts == 1 ? 0.0 : noise.log_weight[i];
        const double noise_var = fixed_var + scatter_var * factor;
        if (uncertain_width) {
            add_uncertain_width(sum, belief, noise_var, log_weight, factor);
        } else {
            sum.add(component_of(kind, belief.mean_f, belief.var_f + noise_var, belief.mean_w), log_weight, factor);
        }
    }
    return sum.moments();
}

}  // namespace tonebath::science
