// What is usual, before her own strips say better: every prior of the tone model, all on dose.
// Sources, trust and reasons: docs/formulas/tone_model.md.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace tonebath::science {

struct NormalPrior {
    double mean = 0.0;
    double sd = 1.0;
};
// Log-normal: median and standard deviation of the logarithm.
struct LogPrior {
    double median = 1.0;
    double log_sd = 0.5;
};

struct TonePriors {
    NormalPrior ea_kj_per_mol = {45.0, 20.0};
    NormalPrior strength_exponent = {0.8, 0.2};
    LogPrior still = {0.5, 0.35};  // agitation factors on dose, gentle = 1
    LogPrior brisk = {2.0, 0.35};
    // Fade of an open hot bath (50 to 80 °C) and of a covered cool one. First order, 1/h: half-lives of 4 h (1 to 16) and
    // 24 h (6 to 100). Zero order, share of the fresh strength an hour: half gone at the same time.
    LogPrior fade_open_hot_per_h = {0.173, 0.85};
    LogPrior fade_covered_per_h = {0.029, 0.85};
    double lot_log_sd = 0.25;
    LogPrior bath_sd = {0.20, 0.5};    // tau
    LogPrior piece_sd = {0.16, 0.4};   // sigma: piece judged afterwards
    double watched_log_sd = 0.06;      // a strip or piece pulled as it reached the tone, instead of sigma; fixed
    double surface_log_sd = 0.15;      // of each kind of surface and preparation (ours)
    double water_log_sd = 0.07;        // of each water, additive and unchecked thermometer (ours)
    double beyond_ea_sd_kj_per_mol = 10.0;  // extra doubt about Ea outside the tried temperatures (ours)
};

// Belief about where the tones of one scale begin: log dose (log seconds at 60 °C, fresh), normal, rising.
struct ScalePrior {
    std::vector<double> mean;
    std::vector<double> covariance;  // row-major
    [[nodiscard]] std::size_t tones() const { return mean.size(); }
};

// Silver: film of h_ref nm after 10 s of dose, h = h_ref (D / 10 s)^p; tone j begins at thickness_nm[j].
//   theta_j = log 10 + (log thickness_j - log h_ref + rung error) / p
// averaged over p (normal, cut to 0.3 to 1.2, 15-point Gauss-Legendre) to mean and covariance.
struct FilmPrior {
    LogPrior h_ref_nm = {60.0, 0.70};
    NormalPrior exponent = {0.75, 0.15};
    double rung_log_sd = 0.10;  // of each thickness, on log nm (ours)
};
// Thicknesses above zero and rising.
[[nodiscard]] ScalePrior film_scale_prior(std::span<const double> thickness_nm, const FilmPrior& film = {});

// A metal without film constants: the first tone begins at 10 s of dose give or take a factor of 3.3 (log-sd 1.2), each
// next one 0.45 +- 0.25 further in log dose. All four numbers are ours.
struct WordsPrior {
    LogPrior first_tone_s = {10.0, 1.2};
    NormalPrior step = {0.45, 0.25};
};
[[nodiscard]] ScalePrior unknown_scale_prior(std::size_t tones, const WordsPrior& words = {});

}  // namespace tonebath::science
