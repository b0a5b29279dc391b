#include "science/mixed_inner.hpp"

#include "base/check.hpp"
#include "science/site_algebra.hpp"

#include <Eigen/Cholesky>
#include <Eigen/Core>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tonebath::science {

namespace {

using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using MatrixMap = Eigen::Map<Matrix>;
using VectorMap = Eigen::Map<Eigen::VectorXd>;

Eigen::Index index_of(std::size_t i) { return static_cast<Eigen::Index>(i); }

double log_det(const Eigen::LLT<Matrix>& llt) { return 2.0 * llt.matrixLLT().diagonal().array().log().sum(); }

}  // namespace

MixedInner::MixedInner(const MixedData& data, const MixedModel& model)
    : data_(data), model_(model), k_(data.coefs()) {
    TB_CHECK(model.coef.mean.size() == k_ && model.coef.covariance.size() == k_ * k_);
    find_pattern();
    prepare_prior();
    offset_.assign(data_.size(), 0.0);
    offset_slope_.assign(data_.size() * model.offset_priors.size(), 0.0);
    mean_.assign(k_, 0.0);
    covariance_.assign(k_ * k_, 0.0);
    group_mean_.assign(data_.groups(), 0.0);
    group_var_.assign(data_.groups(), 0.0);
    group_sigma_cross_.assign(pattern_.size(), 0.0);
}

bool MixedInner::is_site(std::size_t row) const {
    const StoredRow& r = data_.rows()[row];
    return r.kind != RowKind::exact || (r.carries_scatter && model_.noise.variance_factor.size() > 1);
}

void MixedInner::assemble_base(const Hyper& hyper) {
    base_.precision = prior_precision_;
    base_.shift = prior_shift_;
    base_.pivot.assign(data_.groups(), data_.groups() > 0 ? 1.0 / hyper.group_var : 0.0);
    base_.group_shift.assign(data_.groups(), 0.0);
    base_.cross.assign(pattern_.size(), 0.0);
    base_constant_ = data_.groups() > 0 ? -0.5 * static_cast<double>(data_.groups()) * std::log(hyper.group_var) : 0.0;
    for (std::size_t i = 0; i < data_.size(); ++i) {
        if (!is_site(i)) {
            const StoredRow& row = data_.rows()[i];
            const double var = row.own_var + (row.carries_scatter ? hyper.scatter_var : 0.0);
            const double offset = row.offset + offset_[i];
            add_site(base_, i, {1.0 / var, 0.0, 0.0, 0.0, 0.0});
            base_constant_ -= 0.5 * std::log(2.0 * std::numbers::pi * var) + 0.5 * offset * offset / var;
        }
    }
}

void MixedInner::add_site(System& to, std::size_t i, const Site& site) const {
    const StoredRow& row = data_.rows()[i];
    const auto terms = data_.terms(row);
    const double offset = row.offset + offset_[i];
    const bool wide = row.width_up >= 0;
    const double linear = site.shift_f - site.ff * offset - (wide ? site.fw * row.width : 0.0);
    for (std::size_t a = 0; a < terms.size(); ++a) {
        const double scaled = site.ff * terms[a].value;
        double* line = to.precision.data() + terms[a].coef * k_;
        for (std::size_t b = 0; b <= a; ++b) {
            line[terms[b].coef] += scaled * terms[b].value;
            if (terms[a].coef != terms[b].coef || a != b) {
                to.precision[terms[b].coef * k_ + terms[a].coef] += scaled * terms[b].value;
            }
        }
        to.shift[terms[a].coef] += linear * terms[a].value;
    }
    if (row.group >= 0) {
        const std::size_t g = static_cast<std::size_t>(row.group);
        to.pivot[g] += site.ff;
        to.group_shift[g] += linear;
        const std::uint32_t* slots = slot_.data() + row.first_term;
        for (std::size_t a = 0; a < terms.size(); ++a) {
            to.cross[slots[a]] += site.ff * terms[a].value;
        }
        if (wide) {
            to.cross[slot_up_[i]] += site.fw;
            to.cross[slot_low_[i]] -= site.fw;
        }
    }
    if (wide) {
        const std::size_t up = static_cast<std::size_t>(row.width_up);
        const std::size_t low = static_cast<std::size_t>(row.width_low);
        const double linear_w = site.shift_w - site.fw * offset - site.ww * row.width;
        to.shift[up] += linear_w;
        to.shift[low] -= linear_w;
        to.precision[up * k_ + up] += site.ww;
        to.precision[low * k_ + low] += site.ww;
        to.precision[up * k_ + low] -= site.ww;
        to.precision[low * k_ + up] -= site.ww;
        for (const Term& term : terms) {
            const double cross = site.fw * term.value;
            to.precision[up * k_ + term.coef] += cross;
            to.precision[term.coef * k_ + up] += cross;
            to.precision[low * k_ + term.coef] -= cross;
            to.precision[term.coef * k_ + low] -= cross;
        }
    }
}

bool MixedInner::solve() {
    std::vector<double> schur = full_.precision;
    std::vector<double> rhs = full_.shift;
    double log_pivots = 0.0;
    double group_square = 0.0;
    for (std::size_t g = 0; g < data_.groups(); ++g) {
        const double pivot = full_.pivot[g];
        if (!(pivot > 0.0)) {
            return false;
        }
        log_pivots += std::log(pivot);
        group_square += full_.group_shift[g] * full_.group_shift[g] / pivot;
        for (std::size_t a = pattern_start_[g]; a < pattern_start_[g + 1]; ++a) {
            const double scaled = full_.cross[a] / pivot;
            double* line = schur.data() + pattern_[a] * k_;
            for (std::size_t b = pattern_start_[g]; b < pattern_start_[g + 1]; ++b) {
                line[pattern_[b]] -= scaled * full_.cross[b];
            }
            rhs[pattern_[a]] -= scaled * full_.group_shift[g];
        }
    }
    const Eigen::Index n = index_of(k_);
    const VectorMap right(rhs.data(), n);
    VectorMap mean(mean_.data(), n);
    MatrixMap covariance(covariance_.data(), n, n);
    const Eigen::LLT<Matrix> llt(MatrixMap(schur.data(), n, n));
    if (llt.info() != Eigen::Success) {
        return false;
    }
    mean = llt.solve(right);
    gaussian_log_ = prior_constant_ + base_constant_ - 0.5 * log_pivots + 0.5 * (right.dot(mean) + group_square);
    if (model_.profile_coefs) {
        covariance.setZero();
    } else {
        covariance.setIdentity();
        llt.solveInPlace(covariance);
        gaussian_log_ += -0.5 * log_det(llt) + 0.5 * static_cast<double>(flat_coefs_) * std::log(2.0 * std::numbers::pi);
    }
    for (std::size_t g = 0; g < data_.groups(); ++g) {
        double mean_cross = 0.0;
        double square = 0.0;
        for (std::size_t a = pattern_start_[g]; a < pattern_start_[g + 1]; ++a) {
            const double* line = covariance_.data() + pattern_[a] * k_;
            double sum = 0.0;
            for (std::size_t b = pattern_start_[g]; b < pattern_start_[g + 1]; ++b) {
                sum += line[pattern_[b]] * full_.cross[b];
            }
            group_sigma_cross_[a] = sum;
            mean_cross += mean_[pattern_[a]] * full_.cross[a];
            square += full_.cross[a] * sum;
        }
        const double pivot = full_.pivot[g];
        group_mean_[g] = (full_.group_shift[g] - mean_cross) / pivot;
        group_var_[g] = 1.0 / pivot + square / (pivot * pivot);
    }
    return true;
}

MixedInner::Marginal MixedInner::marginal(std::size_t i) const {
    const StoredRow& row = data_.rows()[i];
    const auto terms = data_.terms(row);
    Marginal out;
    out.mean_f = row.offset + offset_[i];
    for (std::size_t a = 0; a < terms.size(); ++a) {
        const double* line = covariance_.data() + terms[a].coef * k_;
        double cross = 0.0;
        for (std::size_t b = 0; b < a; ++b) {
            cross += line[terms[b].coef] * terms[b].value;
        }
        out.var_f += terms[a].value * (2.0 * cross + line[terms[a].coef] * terms[a].value);
        out.mean_f += terms[a].value * mean_[terms[a].coef];
    }
    double inverse_pivot = 0.0;
    if (row.group >= 0) {
        const std::size_t g = static_cast<std::size_t>(row.group);
        inverse_pivot = 1.0 / full_.pivot[g];
        const std::uint32_t* slots = slot_.data() + row.first_term;
        double cross = 0.0;
        for (std::size_t a = 0; a < terms.size(); ++a) {
            cross += terms[a].value * group_sigma_cross_[slots[a]];
        }
        out.mean_f += group_mean_[g];
        out.var_f += group_var_[g] - 2.0 * cross * inverse_pivot;
    }
    out.mean_w = row.width;
    if (row.width_up >= 0) {
        const std::size_t up = static_cast<std::size_t>(row.width_up);
        const std::size_t low = static_cast<std::size_t>(row.width_low);
        const double* line_up = covariance_.data() + up * k_;
        const double* line_low = covariance_.data() + low * k_;
        out.mean_w += mean_[up] - mean_[low];
        out.var_w = line_up[up] + line_low[low] - 2.0 * line_up[low];
        for (const Term& term : terms) {
            out.cov_fw += term.value * (line_up[term.coef] - line_low[term.coef]);
        }
        if (row.group >= 0) {
            out.cov_fw -= (group_sigma_cross_[slot_up_[i]] - group_sigma_cross_[slot_low_[i]]) * inverse_pivot;
        }
    }
    return out;
}

double MixedInner::sweep(const Hyper& hyper, std::vector<Site>& sites, double damping) {
    double worst = 0.0;
    site_log_ = 0.0;
    for (std::size_t i = 0; i < data_.size(); ++i) {
        if (!is_site(i)) {
            continue;
        }
        const StoredRow& row = data_.rows()[i];
        const Marginal m = marginal(i);
        const SiteBelief now{m.mean_f, m.var_f, m.mean_w, m.var_w, m.cov_fw};
        Site& site = sites[i];
        const std::optional<SiteBelief> cavity = site_cavity(now, site);
        if (!cavity) {
            site = {};
            worst = std::max(worst, 1.0);
            continue;
        }
        const SiteMoments tilted =
            site_moments(row.kind, *cavity, row.own_var, row.carries_scatter ? hyper.scatter_var : 0.0, model_.noise);
        const double offset = row.offset + offset_[i];
        const double width = row.width_up >= 0 ? row.width : 0.0;
        site_log_ += tilted.log_z - site_log_norm(*cavity, site) + site.shift_f * offset + site.shift_w * width -
                     0.5 * (site.ff * offset * offset + 2.0 * site.fw * offset * width + site.ww * width * width);
        const SiteUpdate update = site_update(*cavity, tilted);
        worst = std::max(worst, std::abs(update.mean_f - m.mean_f) / std::sqrt(m.var_f));
        worst = std::max(worst, 0.1 * std::abs(update.var_f / m.var_f - 1.0));
        site = site_mix(site, update.site, damping);
    }
    return worst;
}

void MixedInner::slopes(const Hyper& hyper, const std::vector<Site>& sites, InnerResult& out) {
    const std::size_t h_count = model_.offset_priors.size();
    out.slope_h.assign(h_count, 0.0);
    double scatter = 0.0;
    for (std::size_t i = 0; i < data_.size(); ++i) {
        const StoredRow& row = data_.rows()[i];
        const Marginal m = marginal(i);
        const double scatter_var = row.carries_scatter ? hyper.scatter_var : 0.0;
        double slope_offset = 0.0;
        if (is_site(i)) {
            const std::optional<SiteBelief> cavity =
                site_cavity({m.mean_f, m.var_f, m.mean_w, m.var_w, m.cov_fw}, sites[i]);
            if (!cavity) {
                continue;
            }
            const SiteMoments tilted = site_moments(row.kind, *cavity, row.own_var, scatter_var, model_.noise);
            scatter += scatter_var > 0.0 ? tilted.slope_scatter : 0.0;
            slope_offset = tilted.slope[0];
        } else {
            const double var = row.own_var + scatter_var;
            scatter += scatter_var > 0.0 ? 0.5 * ((m.mean_f * m.mean_f + m.var_f) / var - 1.0) / var : 0.0;
            slope_offset = -m.mean_f / var;
        }
        for (std::size_t k = 0; k < h_count; ++k) {
            out.slope_h[k] += slope_offset * offset_slope_[i * h_count + k];
        }
    }
    out.slope_log_scatter = 2.0 * hyper.scatter_var * scatter;
    for (std::size_t g = 0; g < data_.groups(); ++g) {
        out.slope_log_group += (group_mean_[g] * group_mean_[g] + group_var_[g]) / hyper.group_var - 1.0;
    }
}

InnerResult MixedInner::run(const Hyper& hyper, std::vector<Site>& sites, double tolerance, int max_sweeps,
                            bool want_slopes) {
    TB_CHECK(sites.size() == data_.size());
    if (model_.offsets) {
        model_.offsets(hyper.h, offset_, offset_slope_);
    }
    assemble_base(hyper);
    const bool student = model_.noise.variance_factor.size() > 1;
    InnerResult out;
    bool any_site = false;
    for (std::size_t i = 0; i < data_.size(); ++i) {
        any_site = any_site || is_site(i);
    }
    const auto gather = [&] {
        for (int tries = 0; tries < 60; ++tries) {
            full_ = base_;
            if (any_site) {
                for (std::size_t i = 0; i < data_.size(); ++i) {
                    if (is_site(i)) {
                        add_site(full_, i, sites[i]);
                    }
                }
            }
            if (solve()) {
                return true;
            }
            for (Site& site : sites) {  // no longer positive definite: weaken what was learned so far
                site = site_mix(site, {}, 0.5);
            }
        }
        return false;
    };
    for (; out.sweeps < max_sweeps; ++out.sweeps) {
        if (!gather()) {
            return out;
        }
        const double damping = out.sweeps < 10 ? (student ? 0.7 : 1.0) : (student ? 0.4 : 0.6);
        const double worst = any_site ? sweep(hyper, sites, damping) : 0.0;
        out.log_evidence = gaussian_log_ + (any_site ? site_log_ : 0.0);
        if (worst < tolerance) {
            out.converged = true;
            ++out.sweeps;
            break;
        }
    }
    if (any_site && !gather()) {
        out.converged = false;
        return out;
    }
    if (want_slopes) {
        slopes(hyper, sites, out);
    }
    return out;
}

void MixedInner::store(MixedNode& node) const {
    node.mean = mean_;
    node.covariance = covariance_;
    node.groups.resize(data_.groups());
    for (std::size_t g = 0; g < data_.groups(); ++g) {
        node.groups[g] = {full_.pivot[g], full_.group_shift[g]};
    }
    node.cross = full_.cross;
}

}  // namespace tonebath::science
