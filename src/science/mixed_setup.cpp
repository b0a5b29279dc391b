// What MixedInner works out once per data set: which coefficients meet which group, and the prior as natural parameters.
#include "science/mixed_inner.hpp"

#include "base/check.hpp"

#include <Eigen/Cholesky>
#include <Eigen/Core>

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

Eigen::Index index_of(std::size_t i) { return static_cast<Eigen::Index>(i); }

double log_det(const Eigen::LLT<Matrix>& llt) { return 2.0 * llt.matrixLLT().diagonal().array().log().sum(); }

}  // namespace

void MixedInner::find_pattern() {
    std::vector<std::vector<std::size_t>> met(data_.groups());
    const auto meet = [&](std::int32_t group, std::size_t coef) {
        auto& list = met[static_cast<std::size_t>(group)];
        if (std::ranges::find(list, coef) == list.end()) {
            list.push_back(coef);
        }
    };
    for (const StoredRow& row : data_.rows()) {
        if (row.group >= 0) {
            for (const Term& term : data_.terms(row)) {
                meet(row.group, term.coef);
            }
            if (row.width_up >= 0) {
                meet(row.group, static_cast<std::size_t>(row.width_up));
                meet(row.group, static_cast<std::size_t>(row.width_low));
            }
        }
    }
    pattern_start_.assign(1, 0);
    for (auto& list : met) {
        std::ranges::sort(list);
        pattern_.insert(pattern_.end(), list.begin(), list.end());
        pattern_start_.push_back(pattern_.size());
    }
    const auto slot = [&](std::int32_t group, std::size_t coef) {
        const auto first = pattern_.begin() + static_cast<std::ptrdiff_t>(pattern_start_[static_cast<std::size_t>(group)]);
        const auto last =
            pattern_.begin() + static_cast<std::ptrdiff_t>(pattern_start_[static_cast<std::size_t>(group) + 1]);
        return static_cast<std::uint32_t>(std::lower_bound(first, last, coef) - pattern_.begin());
    };
    for (const StoredRow& row : data_.rows()) {
        for (const Term& term : data_.terms(row)) {
            slot_.push_back(row.group >= 0 ? slot(row.group, term.coef) : 0);
        }
        const bool wide = row.group >= 0 && row.width_up >= 0;
        slot_up_.push_back(wide ? slot(row.group, static_cast<std::size_t>(row.width_up)) : 0);
        slot_low_.push_back(wide ? slot(row.group, static_cast<std::size_t>(row.width_low)) : 0);
    }
}

void MixedInner::prepare_prior() {
    std::vector<std::size_t> proper;
    for (std::size_t i = 0; i < k_; ++i) {
        if (std::isfinite(model_.coef.covariance[i * k_ + i])) {
            proper.push_back(i);
        }
    }
    flat_coefs_ = k_ - proper.size();
    TB_CHECK(!model_.profile_coefs || proper.empty());
    prior_precision_.assign(k_ * k_, 0.0);
    prior_shift_.assign(k_, 0.0);
    if (proper.empty()) {
        return;
    }
    const Eigen::Index n = index_of(proper.size());
    Matrix cov(n, n);
    Eigen::VectorXd mean(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const std::size_t row = proper[static_cast<std::size_t>(i)];
        mean(i) = model_.coef.mean[row];
        for (Eigen::Index j = 0; j < n; ++j) {
            cov(i, j) = model_.coef.covariance[row * k_ + proper[static_cast<std::size_t>(j)]];
        }
    }
    const Eigen::LLT<Matrix> llt(cov);
    TB_CHECK(llt.info() == Eigen::Success);
    const Matrix precision = llt.solve(Matrix::Identity(n, n));
    const Eigen::VectorXd shift = llt.solve(mean);
    prior_constant_ = -0.5 * log_det(llt) - 0.5 * mean.dot(shift);
    for (Eigen::Index i = 0; i < n; ++i) {
        const std::size_t row = proper[static_cast<std::size_t>(i)];
        prior_shift_[row] = shift(i);
        for (Eigen::Index j = 0; j < n; ++j) {
            prior_precision_[row * k_ + proper[static_cast<std::size_t>(j)]] = precision(i, j);
        }
    }
}

}  // namespace tonebath::science
