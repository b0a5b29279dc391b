// What one reading says about its predictor: the mean of the likelihood over a normal belief, and its derivatives.
//
// The reading: f + e lies in a range, e the noise of the row, f the predictor against the range's lower end.
//   exact      f + e = 0
//   at_least   f + e >= 0
//   at_most    f + e < 0
//   interval   0 <= f + e < w        w a number, or itself uncertain and correlated with f (a tone between two learned
//                                    thresholds)
// With f normal (mean m, variance v) and e normal (variance s), the mean Z of the likelihood is a difference of normal
// distribution functions at scale sqrt(v + s): Minka 2001 (expectation propagation, from memory), moments as in
// Rasmussen and Williams 2006, section 3.9 (from memory). An uncertain w is averaged by Gauss-Hermite over the normal
// belief of w (3 to 15 points by its spread; Gauss-Legendre on w > 0 where the thresholds may cross); Student noise by its scale mixture, e | q ~ N(0, s / q), q ~ Gamma(df/2,
// rate df/2), trapezium rule on log q. Errors measured in tests/science/noise_site_test.cpp.
#pragma once

#include <array>
#include <vector>

namespace tonebath::science {

enum class RowKind { exact, interval, at_least, at_most };

// The noise scale mixture: one component (normal) or many (Student).
struct NoiseMixture {
    std::vector<double> variance_factor = {1.0};
    std::vector<double> log_weight = {0.0};
};
[[nodiscard]] NoiseMixture normal_noise();
// Student's t with df > 0 degrees of freedom, df 1 to 60.
[[nodiscard]] NoiseMixture student_noise(double df);

// Normal belief on (f, w). For a width that is a plain number leave var_w and cov at 0.
struct SiteBelief {
    double mean_f = 0.0;
    double var_f = 0.0;
    double mean_w = 0.0;
    double var_w = 0.0;
    double cov_fw = 0.0;
};

struct SiteMoments {
    double log_z = 0.0;
    std::array<double, 2> slope = {0.0, 0.0};      // d log Z / d (mean_f, mean_w)
    std::array<double, 3> bend = {0.0, 0.0, 0.0};  // -d2 log Z: ff, fw, ww
    double slope_scatter = 0.0;                    // d log Z / d scatter_var
};

// fixed_var: part of the noise variance that is known; scatter_var: the part the mixture multiplies (0: none).
// Needs var_f + fixed_var + scatter_var > 0.
[[nodiscard]] SiteMoments site_moments(RowKind kind, const SiteBelief& belief, double fixed_var, double scatter_var,
                                       const NoiseMixture& noise);

}  // namespace tonebath::science
