// Bayesian linear regression with group offsets, for readings that are exact, interval-valued or one-sided.
//
//   y = X beta + offset(h) + u[group] + e     beta ~ N(mean, covariance)     u ~ N(0, tau^2)
//   e ~ N(0, sigma^2 + own variance) or sigma * Student's t; rows without scatter have their own variance alone
//   log sigma, log tau ~ normal (or fixed); h: further unknowns that move a row's offset, normal priors
//
// Inside, for fixed (sigma, tau, h): expectation propagation, one Gaussian site a reading, group offsets eliminated
// exactly, so that a sweep costs O(rows). Outside: the mode of the log evidence (gradient by Fisher's identity at the EP
// fixed point), then a Gauss-Hermite rule in the eigen-axes of its curvature. Same family as INLA (Rue, Martino, Chopin
// 2009, J R Stat Soc B 71:319), EP instead of Laplace inside. No random numbers; fixed order of summation.
// Measured accuracy: docs/formulas/learning.md. Tests: tests/science/mixed_regression_test.cpp.
#pragma once

#include "science/mixed_data.hpp"

#include <cstddef>
#include <functional>
#include <limits>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// Prior of the coefficients. Row-major covariance. A coefficient whose variance is infinite is flat (improper); its
// covariances must be 0.
struct CoefPrior {
    std::vector<double> mean;
    std::vector<double> covariance;

    [[nodiscard]] static CoefPrior independent(std::span<const double> mean, std::span<const double> sd);
};

// Prior of a standard deviation: log sd ~ N(log centre, log_sd^2). log_sd 0: fixed. Infinity: flat in log sd.
struct SpreadPrior {
    double centre = 1.0;
    double log_sd = 0.0;
};

// A further unknown h that moves offsets: normal prior.
struct OffsetPrior {
    double mean = 0.0;
    double sd = 1.0;
};

// Fills offset[row] and slope[row * h.size() + k] = d offset / d h_k for all rows.
using OffsetFunction =
    std::function<void(std::span<const double> h, std::span<double> offset, std::span<double> slope)>;

struct MixedModel {
    CoefPrior coef;
    SpreadPrior scatter = {0.16, 0.4};  // sigma
    SpreadPrior group = {0.20, 0.5};    // tau
    NoiseMixture noise = normal_noise();
    std::vector<OffsetPrior> offset_priors = {};
    OffsetFunction offsets = nullptr;
    // Maximum likelihood instead of the integral over the coefficients (all must be flat). For comparison with
    // published fits; the program itself always integrates.
    bool profile_coefs = false;
};

// One Gaussian site: precision (ff, fw, ww) and shift (f, w) on the row's f and w.
struct Site {
    double ff = 0.0;
    double fw = 0.0;
    double ww = 0.0;
    double shift_f = 0.0;
    double shift_w = 0.0;
};

// Where to start from: what an earlier fit of the same rows, or of these less some at the end, left behind.
struct WarmStart {
    std::vector<double> hyper;           // log sigma, log tau, h ... (free ones)
    std::vector<double> hyper_inverse;   // inverse curvature there
    std::vector<Site> sites;
    bool renew_curvature = false;  // the rows or the law changed much: find the curvature anew at the mode
};

struct FitOptions {
    double site_tolerance = 1e-4;  // largest move of a marginal, in its own sd
    int max_sweeps = 200;
    double mode_tolerance = 1e-3;  // Newton decrement of the log posterior at the mode
    std::size_t points = 0;        // per outer dimension: 1, 3, 5 ...; 0 chooses by size
    bool only_mode = false;        // one node at the mode, weight 1
    bool laplace_evidence = false; // with only_mode: log evidence by the curvature at the mode
};

// Group part of a node: u | beta ~ N((shift - cross . beta) / pivot, 1 / pivot).
struct NodeGroup {
    double pivot = 0.0;
    double shift = 0.0;
};

struct MixedNode {
    double weight = 0.0;
    double log_posterior = 0.0;   // log evidence + log prior of the hypers
    std::vector<double> hyper;    // free hypers
    double scatter_sd = 0.0;      // sigma
    double group_sd = 0.0;        // tau
    std::vector<double> offset_h; // h
    std::vector<double> mean;     // beta
    std::vector<double> covariance;
    std::vector<NodeGroup> groups;
    std::vector<double> cross;    // per group, by the pattern in MixedFit
};

// A linear form of beta, plus a group offset: of a group that has rows, of a new one, or of none.
struct LinearForm {
    std::span<const Term> terms;
    std::optional<std::size_t> group = std::nullopt;
    bool new_group = false;
};

struct NormalPart {
    double weight = 0.0;
    double mean = 0.0;
    double var = 0.0;
};
struct NormalPair {
    double weight = 0.0;
    double mean_a = 0.0;
    double mean_b = 0.0;
    double var_a = 0.0;
    double var_b = 0.0;
    double cov = 0.0;
};

struct MixedFit {
    bool converged = false;
    int sweeps = 0;             // EP sweeps in all
    int mode_steps = 0;
    double log_evidence = 0.0;  // integrated over the outer rule; log posterior of the node for only_mode
    std::vector<MixedNode> nodes;
    WarmStart warm;
    // Coefficients that meet group g: pattern[pattern_start[g] .. pattern_start[g + 1]).
    std::vector<std::size_t> pattern_start;
    std::vector<std::size_t> pattern;

    [[nodiscard]] NormalPart form(std::size_t node, const LinearForm& form) const;
    // Two forms, at most one of them with a group offset of its own; `a` carries it.
    [[nodiscard]] NormalPair pair(std::size_t node, const LinearForm& a, std::span<const Term> b) const;
    // The whole mixture.
    [[nodiscard]] std::vector<NormalPart> mixture(const LinearForm& form) const;
};

[[nodiscard]] MixedFit fit_mixed(const MixedData& data, const MixedModel& model, const FitOptions& options = {},
                                 const WarmStart* start = nullptr);

// Of a mixture of normals: mean, standard deviation, distribution function and quantile (bisection to 1e-10 of the sd).
[[nodiscard]] double mixture_mean(std::span<const NormalPart> parts);
[[nodiscard]] double mixture_sd(std::span<const NormalPart> parts);
[[nodiscard]] double mixture_cdf(std::span<const NormalPart> parts, double x);
[[nodiscard]] double mixture_quantile(std::span<const NormalPart> parts, double p);

}  // namespace tonebath::science
