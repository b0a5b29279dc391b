#include "science/survival.hpp"

#include "base/check.hpp"
#include "science/normal.hpp"

#include <Eigen/Dense>
#include <boost/math/special_functions/gamma.hpp>

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

std::vector<Followed> sorted(std::span<const Followed> followed) {
    std::vector<Followed> all(followed.begin(), followed.end());
    for (const Followed& one : all) {
        TB_CHECK(std::isfinite(one.time) && one.time >= 0.0);
    }
    std::sort(all.begin(), all.end(), [](const Followed& a, const Followed& b) { return a.time < b.time; });
    return all;
}

// log(-log S) is taken as normal: S^exp(+-z u), u its standard error (Kalbfleisch and Prentice 1980).
std::optional<ShareInterval> log_log_limits(double survival, double greenwood_sum, double z) {
    if (survival <= 0.0 || survival >= 1.0) {
        return std::nullopt;
    }
    const double u = std::sqrt(greenwood_sum) / std::abs(std::log(survival));
    return ShareInterval{std::pow(survival, std::exp(z * u)), std::pow(survival, std::exp(-z * u))};
}

// First time at which `value(step)` is at or below 1/2; the middle of the stretch when it stays there exactly.
template <class Value>
std::optional<double> half_time(const std::vector<SurvivalStep>& steps, Value value) {
    constexpr double kTie = 1e-12;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const std::optional<double> here = value(steps[i]);
        if (!here || *here > 0.5 + kTie) {
            continue;
        }
        if (*here < 0.5 - kTie) {
            return steps[i].time;
        }
        for (std::size_t next = i + 1; next < steps.size(); ++next) {
            if (steps[next].failed > 0) {
                return 0.5 * (steps[i].time + steps[next].time);
            }
        }
        return steps[i].time;
    }
    return std::nullopt;
}

}  // namespace

std::optional<double> SurvivalCurve::at(double time) const {
    const auto after = std::upper_bound(steps.begin(), steps.end(), time,
                                        [](double value, const SurvivalStep& step) { return value < step.time; });
    if (after == steps.begin()) {
        return steps.empty() ? std::nullopt : std::optional(1.0);
    }
    const SurvivalStep& step = *(after - 1);
    if (after == steps.end() && time > step.time && step.survival > 0.0) {
        return std::nullopt;
    }
    return step.survival;
}

SurvivalCurve kaplan_meier(std::span<const Followed> followed, double confidence) {
    TB_CHECK(confidence > 0.0 && confidence < 1.0);
    const double z = normal_quantile(0.5 + 0.5 * confidence);
    const std::vector<Followed> all = sorted(followed);
    SurvivalCurve curve;
    double survival = 1.0;
    double greenwood_sum = 0.0;  // sum of d / (n (n - d))
    for (auto from = all.begin(); from != all.end();) {
        const auto to = std::find_if(from, all.end(), [&](const Followed& one) { return one.time != from->time; });
        SurvivalStep step;
        step.time = from->time;
        step.at_risk = static_cast<long>(all.end() - from);
        step.failed = static_cast<long>(std::count_if(from, to, [](const Followed& one) { return one.failed; }));
        step.unseen_after = static_cast<long>(to - from) - step.failed;
        const double n = static_cast<double>(step.at_risk);
        const double d = static_cast<double>(step.failed);
        survival *= (n - d) / n;
        step.survival = survival;
        if (survival > 0.0) {
            greenwood_sum += d / (n * (n - d));
            step.standard_error = survival * std::sqrt(greenwood_sum);
        }
        step.limits = log_log_limits(survival, greenwood_sum, z);
        curve.steps.push_back(step);
        from = to;
    }
    curve.median = half_time(curve.steps, [](const SurvivalStep& s) { return std::optional(s.survival); });
    curve.median_lower = half_time(
        curve.steps, [](const SurvivalStep& s) { return s.limits ? std::optional(s.limits->lower) : std::nullopt; });
    curve.median_upper = half_time(
        curve.steps, [](const SurvivalStep& s) { return s.limits ? std::optional(s.limits->upper) : std::nullopt; });
    return curve;
}

LogRank log_rank(std::span<const std::vector<Followed>> groups) {
    TB_CHECK(groups.size() >= 2);
    const auto count = static_cast<Eigen::Index>(groups.size());
    struct Member {
        Followed followed;
        Eigen::Index group;
    };
    std::vector<Member> all;
    Eigen::VectorXd at_risk(count);
    for (Eigen::Index g = 0; g < count; ++g) {
        const std::vector<Followed> group = sorted(groups[static_cast<std::size_t>(g)]);
        at_risk[g] = static_cast<double>(group.size());
        for (const Followed& one : group) {
            all.push_back({one, g});
        }
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const Member& a, const Member& b) { return a.followed.time < b.followed.time; });

    Eigen::VectorXd observed = Eigen::VectorXd::Zero(count);
    Eigen::VectorXd expected = Eigen::VectorXd::Zero(count);
    Eigen::MatrixXd variance = Eigen::MatrixXd::Zero(count, count);
    for (auto from = all.begin(); from != all.end();) {
        const auto to =
            std::find_if(from, all.end(), [&](const Member& one) { return one.followed.time != from->followed.time; });
        Eigen::VectorXd failed = Eigen::VectorXd::Zero(count);
        Eigen::VectorXd leaving = Eigen::VectorXd::Zero(count);
        for (auto one = from; one != to; ++one) {
            leaving[one->group] += 1.0;
            failed[one->group] += one->followed.failed ? 1.0 : 0.0;
        }
        const double n = at_risk.sum();
        const double d = failed.sum();
        observed += failed;
        expected += d / n * at_risk;
        if (n > 1.0) {
            const double scale = d * (n - d) / (n - 1.0);
            const Eigen::VectorXd share = at_risk / n;
            variance += scale * (Eigen::MatrixXd(share.asDiagonal()) - share * share.transpose());
        }
        at_risk -= leaving;
        from = to;
    }

    LogRank test;
    test.observed.assign(observed.begin(), observed.end());
    test.expected.assign(expected.begin(), expected.end());
    // Rows add up to 0, so the rank is at most count - 1: solve in the space that the variance spans.
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> parts(variance);
    const Eigen::VectorXd gap = observed - expected;
    const double least = 1e-10 * std::max(1.0, variance.trace());
    for (Eigen::Index i = 0; i < count; ++i) {
        if (parts.eigenvalues()[i] > least) {
            const double along = parts.eigenvectors().col(i).dot(gap);
            test.chi_square += along * along / parts.eigenvalues()[i];
            ++test.degrees;
        }
    }
    test.p = test.degrees > 0 ? boost::math::gamma_q(0.5 * test.degrees, 0.5 * test.chi_square) : 1.0;
    return test;
}

}  // namespace tonebath::science
