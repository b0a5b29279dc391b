// One marked area of a photograph in linear light: what of it is clipped or glare, its mean, spread and evenness.
// Formulas, figures and their grounds: docs/formulas/photo.md.
#pragma once

#include "science/colour.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace tonebath::science {

// Whether a pixel was marked, and whether its file could still tell how bright it was in every channel.
enum class PixelState : std::uint8_t { good, outside, clipped_high, clipped_low };

// Row by row. `light` is linear light of the sRGB primaries, not cut to 0..1. Where an area has more pixels than are
// worth reading, squares of merged x merged pixels of the photograph are averaged in linear light into one.
struct PhotoPatch {
    int width = 0;
    int height = 0;
    int merged = 1;
    std::vector<LinearRgb> light;
    std::vector<PixelState> state;  // as many as light
};

struct PatchFigures {
    std::size_t pixels = 0;           // marked
    double clipped_high_share = 0.0;  // of the marked ones: a channel at the top of its range
    double clipped_low_share = 0.0;   // a channel at the bottom
    double glare_share = 0.0;         // left out as brighter than the rest, the clipped ones among them
    double left_out_share = 0.0;      // all that was left out: clipped, glare, and what is darker than the rest
    LinearRgb mean;                   // of what was kept
    std::vector<LinearRgb> tiles;     // means of up to 8 x 8 tiles: noise and texture both show in how they differ
    double light_noise = 0.0;         // robust standard deviation of luminance over its middle, one pixel
};

// Robust mean: pixels further than 3 robust standard deviations (1.4826 times the median of distances) from the median
// luminance are left out until the middle stands still. Nothing where fewer than 16 unclipped pixels are marked, or
// their middle is black.
[[nodiscard]] std::optional<PatchFigures> patch_figures(const PhotoPatch& patch);

// The median of each channel by itself, of the pixels that are not clipped; 0 where there is none. Another colour that
// reaches into less than half of the patch does not move it, equal in light or not.
[[nodiscard]] LinearRgb median_light(const PhotoPatch& patch);

// How light changes over a patch, by a least-squares plane; shares of its middle. `per_x` and `per_y` are for one pixel
// of the photograph; `corner_to_corner` is the whole change over the patch, `colour` the same for whichever of red to
// green and blue to green changes more.
struct LightSlope {
    double per_x = 0.0;
    double per_y = 0.0;
    double corner_to_corner = 0.0;
    double colour = 0.0;
};
// Of the pixels that patch_figures() keeps. Nothing where there are too few of them.
[[nodiscard]] std::optional<LightSlope> light_slope(const PhotoPatch& patch);

// Width of the sharpest edges in a patch, in pixels of the photograph: the range of the channel that varies most, between
// its 5th and 95th hundredth, over the steepest change from one pixel to the next (its 99.5th hundredth). Nothing where
// the patch is even (a range under 20 % of its middle): then there is no edge to judge by.
[[nodiscard]] std::optional<double> edge_width_px(const PhotoPatch& patch);

}  // namespace tonebath::science
