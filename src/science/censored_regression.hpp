// Regression on exact, interval and one-sided readings by maximum likelihood: her strips alone, no prior.
#pragma once

#include "science/mixed_data.hpp"

#include <optional>
#include <vector>

namespace tonebath::science {

struct CensoredFit {
    bool converged = false;
    int steps = 0;
    std::vector<double> coef;
    double scale = 0.0;              // sigma
    double log_likelihood = 0.0;     // on the scale of the readings as given
    std::vector<double> covariance;  // row-major over (coef, log sigma); without log sigma when the scale is fixed
};

// Newton's method from least squares on the readings' middles. The likelihood of a row is that of noise_site with no
// doubt about the predictor. Groups are not allowed. Fixed scale: sigma is known. nullopt: no rows, fewer than
// coefficients, or a design that does not determine them.
[[nodiscard]] std::optional<CensoredFit> censored_maximum_likelihood(const MixedData& data, const NoiseMixture& noise,
                                                                     std::optional<double> fixed_scale = std::nullopt);

}  // namespace tonebath::science
