// How a screen colour looks to eyes without one kind of cone.
#pragma once

#include "science/colour.hpp"

namespace tonebath::science {

enum class ColourVision { usual, protan, deutan, tritan };

// Machado, Oliveira and Fernandes 2009, severity 1, applied to linear light and cut to the screen's range.
// A design aid for choosing colours, not a statement about any one person's sight.
[[nodiscard]] Srgb as_seen_by(ColourVision eyes, const Srgb& colour);

}  // namespace tonebath::science
