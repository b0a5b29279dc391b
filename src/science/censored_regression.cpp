#include "science/censored_regression.hpp"

#include "base/check.hpp"
#include "science/least_squares.hpp"

#include <Eigen/Cholesky>
#include <Eigen/Core>

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

// Log likelihood with gradient over (coef * column scale, log sigma), and the exact curvature among the coefficients.
struct Likelihood {
    double value = 0.0;
    Eigen::VectorXd slope;
    Eigen::MatrixXd bend;
};

class Problem {
public:
    Problem(const MixedData& data, const NoiseMixture& noise) : data_(data), noise_(noise) {
        column_.assign(data.coefs(), 0.0);
        for (const StoredRow& row : data.rows()) {
            TB_CHECK(row.group < 0 && row.width_up < 0);
            for (const Term& t : data.terms(row)) {
                column_[t.coef] += t.value * t.value;
            }
        }
        for (double& c : column_) {
            c = c > 0.0 ? std::sqrt(c / static_cast<double>(data.size())) : 1.0;
        }
    }

    [[nodiscard]] Likelihood at(const Eigen::VectorXd& coef, double log_sigma) const {
        const Eigen::Index k = coef.size();
        const double var = std::exp(2.0 * log_sigma);
        Likelihood out{0.0, Eigen::VectorXd::Zero(k + 1), Eigen::MatrixXd::Zero(k, k)};
        for (const StoredRow& row : data_.rows()) {
            SiteBelief belief;
            belief.mean_f = row.offset;
            belief.mean_w = row.width;
            const auto terms = data_.terms(row);
            for (const Term& t : terms) {
                belief.mean_f += t.value / column_[t.coef] * coef(static_cast<Eigen::Index>(t.coef));
            }
            const SiteMoments m =
                site_moments(row.kind, belief, row.own_var, row.carries_scatter ? var : 0.0, noise_);
            out.value += m.log_z;
            out.slope(k) += row.carries_scatter ? 2.0 * var * m.slope_scatter : 0.0;
            for (const Term& a : terms) {
                const double xa = a.value / column_[a.coef];
                out.slope(static_cast<Eigen::Index>(a.coef)) += m.slope[0] * xa;
                for (const Term& b : terms) {
                    out.bend(static_cast<Eigen::Index>(a.coef), static_cast<Eigen::Index>(b.coef)) +=
                        m.bend[0] * xa * b.value / column_[b.coef];
                }
            }
        }
        return out;
    }

    // Least squares on the middles of the readings, one-sided ones at their limit.
    [[nodiscard]] std::optional<LeastSquaresFit> first_guess() const {
        std::vector<double> x(data_.size() * data_.coefs(), 0.0);
        std::vector<double> y;
        for (std::size_t i = 0; i < data_.size(); ++i) {
            const StoredRow& row = data_.rows()[i];
            for (const Term& t : data_.terms(row)) {
                x[i * data_.coefs() + t.coef] += t.value / column_[t.coef];
            }
            y.push_back(-row.offset + 0.5 * row.width);
        }
        return linear_least_squares(x, y);
    }

    [[nodiscard]] const std::vector<double>& column() const { return column_; }

private:
    const MixedData& data_;
    const NoiseMixture& noise_;
    std::vector<double> column_;
};

Eigen::MatrixXd curvature(const Problem& problem, const Eigen::VectorXd& coef, double log_sigma, const Likelihood& here,
                          bool free_scale) {
    const Eigen::Index k = coef.size();
    if (!free_scale) {
        return here.bend;
    }
    constexpr double kStep = 1e-4;
    Eigen::MatrixXd full(k + 1, k + 1);
    full.topLeftCorner(k, k) = here.bend;
    // Fourth-order difference of the exact gradient.
    const auto slope = [&](double move) { return problem.at(coef, log_sigma + move).slope; };
    const Eigen::VectorXd column =
        -(8.0 * (slope(kStep) - slope(-kStep)) - (slope(2.0 * kStep) - slope(-2.0 * kStep))) / (12.0 * kStep);
    full.col(k) = column;
    full.row(k) = column.transpose();
    return full;
}

}  // namespace

std::optional<CensoredFit> censored_maximum_likelihood(const MixedData& data, const NoiseMixture& noise,
                                                       std::optional<double> fixed_scale) {
    constexpr int kMostSteps = 200;
    const Problem problem(data, noise);
    const auto guess = problem.first_guess();
    if (!guess) {
        return std::nullopt;
    }
    const Eigen::Index k = static_cast<Eigen::Index>(data.coefs());
    const Eigen::Index size = fixed_scale ? k : k + 1;
    Eigen::VectorXd coef = Eigen::Map<const Eigen::VectorXd>(guess->coef.data(), k);
    const double spread = std::sqrt(guess->residual_ss / static_cast<double>(data.size()));
    double log_sigma = std::log(fixed_scale.value_or(std::max(spread, 1e-3)));
    CensoredFit fit;
    Likelihood here = problem.at(coef, log_sigma);
    Eigen::MatrixXd bend = curvature(problem, coef, log_sigma, here, !fixed_scale);
    for (; fit.steps < kMostSteps; ++fit.steps) {
        Eigen::MatrixXd damped = bend;
        double add = 0.0;
        Eigen::LLT<Eigen::MatrixXd> llt(damped);
        while (llt.info() != Eigen::Success && add < 1e12) {  // far from the top: lean towards the gradient
            add = std::max(2.0 * add, 1e-3 * bend.cwiseAbs().maxCoeff());
            damped = bend + add * Eigen::MatrixXd::Identity(size, size);
            llt.compute(damped);
        }
        if (llt.info() != Eigen::Success) {
            return std::nullopt;
        }
        Eigen::VectorXd step = llt.solve(here.slope.head(size));
        const double decrement = step.dot(here.slope.head(size));
        if (!fixed_scale) {
            step *= std::min(1.0, 1.0 / std::max(std::abs(step(k)), 1e-300));
        }
        if (add == 0.0 && decrement < 1e-20) {
            fit.converged = true;
            break;
        }
        bool moved = false;
        for (int halving = 0; halving < 40; ++halving, step *= 0.5) {
            const Eigen::VectorXd trial = coef + step.head(k);
            const double trial_log = fixed_scale ? log_sigma : log_sigma + step(k);
            Likelihood there = problem.at(trial, trial_log);
            if (std::isfinite(there.value) && there.value > here.value) {
                coef = trial;
                log_sigma = trial_log;
                here = std::move(there);
                moved = true;
                break;
            }
        }
        if (!moved) {
            fit.converged = decrement < 1e-9;
            break;
        }
        bend = curvature(problem, coef, log_sigma, here, !fixed_scale);
    }
    fit.log_likelihood = here.value;
    fit.scale = std::exp(log_sigma);
    const Eigen::LLT<Eigen::MatrixXd> llt(bend);
    if (llt.info() != Eigen::Success) {
        return std::nullopt;
    }
    const Eigen::MatrixXd inverse = llt.solve(Eigen::MatrixXd::Identity(size, size));
    const auto unit = [&](Eigen::Index i) { return i < k ? problem.column()[static_cast<std::size_t>(i)] : 1.0; };
    for (Eigen::Index i = 0; i < size; ++i) {
        if (i < k) {
            fit.coef.push_back(coef(i) / unit(i));
        }
        for (Eigen::Index j = 0; j < size; ++j) {
            fit.covariance.push_back(inverse(i, j) / (unit(i) * unit(j)));
        }
    }
    return fit;
}

}  // namespace tonebath::science
