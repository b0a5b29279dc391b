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
};
[[nodiscard]] RoundFit fit_round(const ToneInput& input, const ReadDips& dips, const TonePriors& priors,
                                 const ToneLayout& layout, const DoseCentre& centre, FadeKind fade,
                                 ScatterShape shape, const FitOptions& options, const WarmStart* start);

}  // namespace tonebath::science
