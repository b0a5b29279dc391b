// Draws the draw lists of a frame into a picture, without any graphics card: triangles by the top-left rule, alpha of
// the letters read between pixels, blended as bytes, as the real window does it.
#pragma once

#include "support/image.hpp"

struct ImDrawData;
struct ImFontAtlas;

namespace tonebath::testing {

[[nodiscard]] Image rasterise(const ImDrawData& data, ImFontAtlas& atlas, int width, int height);

}  // namespace tonebath::testing
