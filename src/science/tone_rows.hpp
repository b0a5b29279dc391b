// From records to rows of the regression, about one centre. Internal to tone_model.
#pragma once

#include "science/tone_model.hpp"

#include <vector>

namespace tonebath::science {

// Every dip of every subject, its course read once. A subject with a dip that cannot be read has none.
using ReadDips = std::vector<std::vector<ReadDip>>;
[[nodiscard]] ReadDips read_all(const ToneInput& input);

[[nodiscard]] ToneLayout lay_out_tones(const ToneInput& input);

struct RoundFit {
    MixedFit mixed;
    std::vector<bool> left_out;
    double tails_gain = 0.0;  // of long tails over this fit, log evidence to first order; of a fit of the even shape at its mode, when asked
};
[[nodiscard]] RoundFit fit_round(const ToneInput& input, const ReadDips& dips, const TonePriors& priors,
                                 const ToneLayout& layout, const DoseCentre& centre, FadeKind fade,
                                 ScatterShape shape, const FitOptions& options, const WarmStart* start, bool weigh_tails = false);

// The mixture of student_noise(kTailFreedom) thinned for the fit: every second point of its rule, and nothing that weighs
// below e^-12. Its density differs by less than 1 in 1,000 within 12 scatters, 1 in 100 within 20 (tests/science/tone_shape_test.cpp).
[[nodiscard]] const NoiseMixture& thinned_tails();

}  // namespace tonebath::science
