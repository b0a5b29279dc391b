// Expectation propagation for one setting of (sigma, tau, h). Internal to mixed_regression.
#pragma once

#include "science/mixed_regression.hpp"

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace tonebath::science {

struct Hyper {
    double scatter_var = 0.0;
    double group_var = 0.0;
    std::vector<double> h;
};

struct InnerResult {
    bool converged = false;
    int sweeps = 0;
    double log_evidence = 0.0;
    double slope_log_scatter = 0.0;  // d log evidence / d log sigma
    double slope_log_group = 0.0;
    std::vector<double> slope_h;
};

class MixedInner {
public:
    MixedInner(const MixedData& data, const MixedModel& model);

    // Runs sweeps from `sites` (one per row; exact rows under normal noise use none) to the fixed point, and leaves the
    // sites there. Afterwards the accessors speak of this setting.
    InnerResult run(const Hyper& hyper, std::vector<Site>& sites, double tolerance, int max_sweeps, bool want_slopes);

    void store(MixedNode& node) const;
    [[nodiscard]] const std::vector<std::size_t>& pattern_start() const { return pattern_start_; }
    [[nodiscard]] const std::vector<std::size_t>& pattern() const { return pattern_; }

private:
    // Natural parameters of the Gaussian over (beta, u).
    struct System {
        std::vector<double> precision;  // k x k, lower triangle used
        std::vector<double> shift;      // k
        std::vector<double> pivot;      // groups
        std::vector<double> group_shift;
        std::vector<double> cross;  // by pattern
    };
    struct Marginal {
        double mean_f = 0.0;
        double var_f = 0.0;
        double mean_w = 0.0;
        double var_w = 0.0;
        double cov_fw = 0.0;
    };

    void find_pattern();
    void prepare_prior();
    void assemble_base(const Hyper& hyper);
    void add_site(System& to, std::size_t row, const Site& site) const;
    bool solve();
    [[nodiscard]] Marginal marginal(std::size_t row) const;
    [[nodiscard]] bool is_site(std::size_t row) const;
    double sweep(const Hyper& hyper, std::vector<Site>& sites, double damping);
    void slopes(const Hyper& hyper, const std::vector<Site>& sites, InnerResult& out);

    const MixedData& data_;
    const MixedModel& model_;
    std::size_t k_;
    std::vector<std::size_t> pattern_start_;
    std::vector<std::size_t> pattern_;
    std::vector<std::uint32_t> slot_;      // of each term in its group's pattern, in order of the terms
    std::vector<std::uint32_t> slot_up_;   // of width_up and width_low, per row
    std::vector<std::uint32_t> slot_low_;
    std::vector<double> prior_precision_;
    std::vector<double> prior_shift_;
    double prior_constant_ = 0.0;
    std::size_t flat_coefs_ = 0;

    std::vector<double> offset_;  // h part, per row
    std::vector<double> offset_slope_;
    System base_;
    System full_;
    double base_constant_ = 0.0;
    std::vector<double> mean_;        // beta
    std::vector<double> covariance_;  // k x k, full
    std::vector<double> group_mean_;
    std::vector<double> group_var_;
    std::vector<double> group_sigma_cross_;  // (Sigma c) at the pattern's places
    double gaussian_log_ = 0.0;
    double site_log_ = 0.0;
};

}  // namespace tonebath::science
