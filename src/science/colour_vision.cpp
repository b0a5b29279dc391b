#include "science/colour_vision.hpp"

#include <array>

namespace tonebath::science {

namespace {

using Matrix = std::array<double, 9>;

// G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, A physiologically-based model for simulation of color vision
// deficiency, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291-1298, severity 1.0. Read as carried, alike, by several
// public repositories; the paper itself was not read. Each row sums to 1: white and greys stay as they are.
constexpr Matrix kProtan{0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998};
constexpr Matrix kDeutan{0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881};
constexpr Matrix kTritan{1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900};

Srgb simulated(const Matrix& m, const Srgb& colour) {
    const LinearRgb c = linear_from_srgb(colour);
    return clipped(srgb_from_linear({m[0] * c.r + m[1] * c.g + m[2] * c.b, m[3] * c.r + m[4] * c.g + m[5] * c.b,
                                     m[6] * c.r + m[7] * c.g + m[8] * c.b}));
}

}  // namespace

Srgb as_seen_by(ColourVision eyes, const Srgb& colour) {
    switch (eyes) {
        case ColourVision::usual:
            return colour;
        case ColourVision::protan:
            return simulated(kProtan, colour);
        case ColourVision::deutan:
            return simulated(kDeutan, colour);
        case ColourVision::tritan:
            return simulated(kTritan, colour);
    }
    return colour;
}

}  // namespace tonebath::science
