#include "science/tone_priors.hpp"

#include "base/check.hpp"
#include "science/quadrature.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {
constexpr double kReferenceExposure_s = 10.0;
constexpr double kLeastExponent = 0.3;
constexpr double kMostExponent = 1.2;
}  // namespace

ScalePrior film_scale_prior(std::span<const double> thickness_nm, const FilmPrior& film) {
    const std::size_t n = thickness_nm.size();
    for (std::size_t j = 0; j < n; ++j) {
        TB_CHECK(thickness_nm[j] > 0.0 && (j == 0 || thickness_nm[j] > thickness_nm[j - 1]));
    }
    // E[1/p], E[1/p^2] over the cut normal.
    const LineRule rule = gauss_legendre(15);
    double mass = 0.0;
    double inverse = 0.0;
    double inverse_square = 0.0;
    for (std::size_t i = 0; i < rule.nodes.size(); ++i) {
        const double p = kLeastExponent + 0.5 * (kMostExponent - kLeastExponent) * (1.0 + rule.nodes[i]);
        const double z = (p - film.exponent.mean) / film.exponent.sd;
        const double weight = rule.weights[i] * std::exp(-0.5 * z * z);
        mass += weight;
        inverse += weight / p;
        inverse_square += weight / (p * p);
    }
    inverse /= mass;
    inverse_square /= mass;
    ScalePrior prior{std::vector<double>(n), std::vector<double>(n * n)};
    const double h_var = film.h_ref_nm.log_sd * film.h_ref_nm.log_sd;
    for (std::size_t i = 0; i < n; ++i) {
        const double a = std::log(thickness_nm[i] / film.h_ref_nm.median);
        prior.mean[i] = std::log(kReferenceExposure_s) + a * inverse;
        for (std::size_t j = 0; j < n; ++j) {
            const double b = std::log(thickness_nm[j] / film.h_ref_nm.median);
            const double rung = i == j ? film.rung_log_sd * film.rung_log_sd : 0.0;
            prior.covariance[i * n + j] = (a * b + h_var + rung) * inverse_square - a * b * inverse * inverse;
        }
    }
    return prior;
}

ScalePrior unknown_scale_prior(std::size_t tones, const WordsPrior& words) {
    ScalePrior prior{std::vector<double>(tones), std::vector<double>(tones * tones)};
    const double first_var = words.first_tone_s.log_sd * words.first_tone_s.log_sd;
    const double step_var = words.step.sd * words.step.sd;
    for (std::size_t i = 0; i < tones; ++i) {
        prior.mean[i] = std::log(words.first_tone_s.median) + words.step.mean * static_cast<double>(i);
        for (std::size_t j = 0; j < tones; ++j) {
            prior.covariance[i * tones + j] = first_var + step_var * static_cast<double>(std::min(i, j));
        }
    }
    return prior;
}

}  // namespace tonebath::science
