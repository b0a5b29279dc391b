// How far apart two colours are, and how well one reads on another.
#pragma once

#include "science/colour.hpp"

namespace tonebath::science {

// CIE 1976 difference: distance in L*a*b*.
[[nodiscard]] double delta_e76(const Lab& first, const Lab& second);

// CIEDE2000 with kL = kC = kH = 1 (Sharma, Wu and Dalal 2005; CIE 142:2001). Both colours under the same white.
// Symmetric. Where the hues lie 180 degrees apart to within rounding the mean hue without the added 180 degrees is
// taken.
[[nodiscard]] double delta_e2000(const Lab& first, const Lab& second);

// Relative luminance 0 to 1 of WCAG 2.1, from sRGB cut to the screen's range.
[[nodiscard]] double relative_luminance(const Srgb& colour);
// WCAG 2.1 contrast ratio, 1 to 21, the same in either order.
[[nodiscard]] double contrast_ratio(const Srgb& first, const Srgb& second);

}  // namespace tonebath::science
