// From linear light of a photograph to L*a*b* under D50: gains from a grey card, a matrix from a chart, and the error.
// Formulas, sources and errors: docs/formulas/photo.md.
#pragma once

#include "science/photo_patch.hpp"

#include <array>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// L* of a spectrally flat 18 % grey card, 116 (0.18)^(1/3) - 16; published nominal reflectance, no card is exactly so.
inline constexpr Lab kGreyCard{49.496, 0.0, 0.0};

// Linear light from X Y Z relative to D50 with y = 1 for white (the connection space of ICC profiles), by Bradford.
[[nodiscard]] LinearRgb linear_from_icc_xyz(double x, double y, double z);

// One factor for each channel, in linear light: what makes the card the colour it is known to have.
struct CardGain {
    LinearRgb factor;
    // Of the card as photographed, brought to its known lightness: how much its light or the camera coloured it.
    double cast_chroma = 0.0;
};
// Nothing where a channel of the card is 0 or less. `card` is its known colour, D50.
[[nodiscard]] std::optional<CardGain> card_gain(const LinearRgb& photographed, const Lab& card = kGreyCard);
[[nodiscard]] LinearRgb gained(const LinearRgb& light, const LinearRgb& factor);
// L*a*b* relative to D50 of light whose white is that of sRGB, by Bradford.
[[nodiscard]] Lab lab_d50_from_linear(const LinearRgb& light);

struct ChartPatch {
    LinearRgb light;  // as photographed, after the card's gains
    Lab known;        // D50
};
// 3 x 3 by rows, from gained linear light to X Y Z under D50 (y = 100 for white).
using ChartMatrix = std::array<double, 9>;
struct ChartFit {
    ChartMatrix matrix{};
    // CIEDE2000 of each patch, worked out from all the others: what a colour that the chart does not hold may be off by.
    std::vector<double> left_out_de00;
    double median_de00 = 0.0;
    double ninth_in_ten_de00 = 0.0;
};
// Least squares on X, Y and Z of each patch; a patch of reflectance Y weighs as Y^(-2/3) in light, so that an equal
// difference in L* counts alike, dark or light. Nothing for fewer than 6 patches, or patches too alike to tell the
// channels apart.
[[nodiscard]] std::optional<ChartFit> chart_fit(std::span<const ChartPatch> patches);
[[nodiscard]] Lab lab_d50_from_chart(const LinearRgb& light, const ChartMatrix& matrix);

// What was said of the light. Without a chart the program cannot see it: a lamp whose white the camera balanced looks
// like day.
enum class LightKind { daylight, not_said, other };

// CIEDE2000 that holds 9 in 10 true colours, by what it comes from; `total` is the root of their squares.
struct ReadingError {
    double card = 0.0;     // noise and unevenness of the card
    double texture = 0.0;  // noise and texture of the area
    double light = 0.0;    // card, camera and light together: from the rendered photographs, or from the chart
    double shade = 0.0;    // light that changes between card and piece
    double total = 0.0;
};

// One area, measured. L*a*b* relative to D50.
struct PhotoReading {
    Lab lab;
    double spread_de00 = 0.0;  // root mean square difference of the area's tiles from the reading
    ReadingError error;
};
struct ReadingSetup {
    CardGain gain;
    PatchFigures card;
    std::optional<ChartFit> chart;
    LightKind light = LightKind::not_said;
    double shade_share = 0.0;  // by how much the light may differ between card and area, 0.1 = a tenth
};
[[nodiscard]] PhotoReading photo_reading(const PatchFigures& area, const ReadingSetup& setup);

// Error from card, camera and light where no chart is in the picture, for 9 in 10 colours of this chroma. Found by
// rendered photographs (docs/manual/photo.md, the table), not published.
[[nodiscard]] double light_error_de00(LightKind light, double chroma);

}  // namespace tonebath::science
