#include "science/least_squares.hpp"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <Eigen/QR>

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

using LongMatrix = Eigen::Matrix<long double, Eigen::Dynamic, Eigen::Dynamic>;
using LongVector = Eigen::Matrix<long double, Eigen::Dynamic, 1>;
using RowMatrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

bool all_finite(std::span<const double> values) {
    return std::ranges::all_of(values, [](double v) { return std::isfinite(v); });
}

// Standard errors and covariance from (X'X)^-1 of scaled columns.
void fill_errors(LeastSquaresFit& fit, const LongMatrix& inverse, const LongVector& scale) {
    if (fit.degrees_of_freedom == 0) {
        return;
    }
    const long double var = static_cast<long double>(fit.residual_ss) / static_cast<long double>(fit.degrees_of_freedom);
    fit.residual_sd = static_cast<double>(std::sqrt(var));
    const Eigen::Index k = inverse.rows();
    for (Eigen::Index i = 0; i < k; ++i) {
        fit.coef_se.push_back(static_cast<double>(std::sqrt(var * inverse(i, i)) / scale(i)));
        for (Eigen::Index j = 0; j < k; ++j) {
            fit.covariance.push_back(static_cast<double>(var * inverse(i, j) / (scale(i) * scale(j))));
        }
    }
}

}  // namespace

std::optional<LeastSquaresFit> linear_least_squares(std::span<const double> x, std::span<const double> y) {
    if (y.empty() || x.empty() || x.size() % y.size() != 0 || !all_finite(x) || !all_finite(y)) {
        return std::nullopt;
    }
    const Eigen::Index n = static_cast<Eigen::Index>(y.size());
    const Eigen::Index k = static_cast<Eigen::Index>(x.size() / y.size());
    if (n < k) {
        return std::nullopt;
    }
    LongMatrix design = Eigen::Map<const RowMatrix>(x.data(), n, k).cast<long double>();
    const LongVector right = Eigen::Map<const Eigen::VectorXd>(y.data(), n).cast<long double>();
    LongVector scale(k);
    for (Eigen::Index j = 0; j < k; ++j) {
        scale(j) = design.col(j).norm();
        if (!(scale(j) > 0.0L)) {
            return std::nullopt;
        }
        design.col(j) /= scale(j);
    }
    Eigen::ColPivHouseholderQR<LongMatrix> qr(design);
    qr.setThreshold(1e-17L);
    if (qr.rank() < k) {
        return std::nullopt;
    }
    LongVector scaled = qr.solve(right);
    scaled += qr.solve(right - design * scaled);  // one step of refinement
    LeastSquaresFit fit;
    for (Eigen::Index j = 0; j < k; ++j) {
        fit.coef.push_back(static_cast<double>(scaled(j) / scale(j)));
    }
    fit.residual_ss = static_cast<double>((right - design * scaled).squaredNorm());
    fit.degrees_of_freedom = static_cast<std::size_t>(n - k);
    // (X'X)^-1 = P R^-1 R^-T P'
    const LongMatrix r = qr.matrixQR().topLeftCorner(k, k).triangularView<Eigen::Upper>();
    const LongMatrix r_inverse = r.triangularView<Eigen::Upper>().solve(LongMatrix::Identity(k, k));
    const LongMatrix unpivoted = qr.colsPermutation() * r_inverse;
    fill_errors(fit, unpivoted * unpivoted.transpose(), scale);
    return fit;
}

std::optional<LeastSquaresFit> nonlinear_least_squares(const ResidualFunction& residual, std::span<const double> start,
                                                       std::size_t rows) {
    constexpr int kMostSteps = 5000;
    constexpr double kForget = 0.7;
    constexpr double kProbe = 0.1;     // of a step, for the second derivative along it
    constexpr double kMostBend = 0.75; // a longer correction is not trusted
    constexpr double kSmallStep = 1e-12;
    const Eigen::Index k = static_cast<Eigen::Index>(start.size());
    const Eigen::Index n = static_cast<Eigen::Index>(rows);
    if (rows == 0 || k == 0 || n < k) {
        return std::nullopt;
    }
    Eigen::VectorXd coef = Eigen::Map<const Eigen::VectorXd>(start.data(), k);
    Eigen::VectorXd value(n);
    RowMatrix jacobian(n, k);
    const auto evaluate = [&](const Eigen::VectorXd& at, Eigen::VectorXd& r, RowMatrix& j) {
        residual({at.data(), static_cast<std::size_t>(k)}, {r.data(), rows}, {j.data(), rows * start.size()});
        return r.allFinite() && j.allFinite();
    };
    if (!evaluate(coef, value, jacobian)) {
        return std::nullopt;
    }
    LeastSquaresFit fit;
    fit.converged = false;
    // Gain-ratio control of the damping after Nielsen 1999 (from memory); column scales fall only slowly, so
    // that a step into a flat region cannot run away.
    double damping = 1e-2;
    double harder = 2.0;
    Eigen::VectorXd scale = Eigen::VectorXd::Constant(k, 1e-300);
    for (; fit.steps < kMostSteps && !fit.converged; ++fit.steps) {
        scale = (kForget * scale).cwiseMax(jacobian.colwise().norm().transpose());
        // The damped problem as one QR: [J / scale; sqrt(damping) I] step = [-r; 0].
        Eigen::MatrixXd stacked = Eigen::MatrixXd::Zero(n + k, k);
        stacked.topRows(n) = jacobian * scale.cwiseInverse().asDiagonal();
        stacked.bottomRows(k).diagonal().setConstant(std::sqrt(damping));
        Eigen::VectorXd right = Eigen::VectorXd::Zero(n + k);
        right.head(n) = -value;
        const Eigen::HouseholderQR<Eigen::MatrixXd> qr(stacked);
        const Eigen::VectorXd scaled_step = qr.solve(right);
        Eigen::VectorXd step = scaled_step.cwiseQuotient(scale);
        const Eigen::VectorXd straight = jacobian * step;
        // Along a curved valley the step is bent by the second derivative in its direction (geodesic acceleration,
        // Transtrum and Sethna 2012, arXiv 1201.5885, from memory).
        Eigen::VectorXd probe_value(n);
        RowMatrix probe_jacobian(n, k);
        if (evaluate(coef + kProbe * step, probe_value, probe_jacobian)) {
            right.head(n) = -((probe_value - value) / kProbe - straight) / kProbe;
            const Eigen::VectorXd bend = qr.solve(right);
            if (2.0 * bend.norm() <= kMostBend * scaled_step.norm()) {
                step += bend.cwiseQuotient(scale);
            }
        }
        const Eigen::VectorXd trial = coef + step;
        Eigen::VectorXd trial_value(n);
        RowMatrix trial_jacobian(n, k);
        const bool sound = evaluate(trial, trial_value, trial_jacobian);
        const bool small = (step.cwiseAbs().array() <= kSmallStep * (coef.cwiseAbs().array() + 1e-300)).all();
        const double promised = value.squaredNorm() - (value + straight).squaredNorm() +
                                damping * scaled_step.squaredNorm();
        const double gained = sound ? value.squaredNorm() - trial_value.squaredNorm() : -1.0;
        if (sound && gained >= 0.0 && gained > 1e-4 * promised) {
            const double ratio = promised > 0.0 ? gained / promised : 1.0;
            coef = trial;
            value = trial_value;
            jacobian = trial_jacobian;
            damping = std::max(damping * std::max(1.0 / 3.0, 1.0 - std::pow(2.0 * ratio - 1.0, 3)), 1e-15);
            harder = 2.0;
            fit.converged = small;
        } else {
            fit.converged = small && sound;
            damping *= harder;
            harder *= 2.0;
            if (damping > 1e18) {
                fit.converged = sound;
                break;
            }
        }
    }
    fit.coef.assign(coef.data(), coef.data() + k);
    fit.residual_ss = value.squaredNorm();
    fit.degrees_of_freedom = rows - start.size();
    const LongMatrix long_jacobian = jacobian.cast<long double>();
    LongVector length(k);
    LongMatrix scaled = long_jacobian;
    for (Eigen::Index j = 0; j < k; ++j) {
        length(j) = std::max(scaled.col(j).norm(), 1e-300L);
        scaled.col(j) /= length(j);
    }
    const LongMatrix inverse = (scaled.transpose() * scaled).ldlt().solve(LongMatrix::Identity(k, k));
    fill_errors(fit, inverse, length);
    return fit;
}

}  // namespace tonebath::science
