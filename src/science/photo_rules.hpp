// When a photograph is not measured, or measured with a warning: each rule with its figure, its limits and their ground.
#pragma once

#include "science/photo_colour.hpp"

#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace tonebath::science {

enum class PhotoRule {
    no_card,
    card_small,
    card_clipped_high,
    card_clipped_low,
    card_uneven,
    area_small,
    area_clipped_high,
    area_clipped_low,
    area_glare,
    area_blurred,
    light_slope,
    light_differs,
    light_mixed,
    light_coloured,
    chart_fits,
    jpeg_loss,
    edited,
    no_profile,
};
enum class Verdict { fine, warned, refused };

// A figure on the far side of `warns` is warned about, on the far side of `refuses` refused: above them, or below where
// `below` says so. A limit that is not there never acts.
struct RuleLimits {
    PhotoRule rule;
    std::string_view key;  // stable, for files and scripts
    std::optional<double> warns;
    std::optional<double> refuses;
    bool below = false;
    std::string_view figure;  // what the figure is, with its unit
    std::string_view ground;  // where the limits come from
};
[[nodiscard]] std::span<const RuleLimits> photo_rules();
[[nodiscard]] const RuleLimits& limits_of(PhotoRule rule);
[[nodiscard]] Verdict verdict(PhotoRule rule, double figure);

struct PhotoFinding {
    PhotoRule rule;
    Verdict verdict = Verdict::fine;
    double figure = 0.0;
};

// What the file itself tells. Nothing where it does not.
struct FileEvidence {
    std::optional<int> jpeg_step;  // greater first step of the quantisation tables, 1 to 255
    // 1 for each sign of editing: saved again later than taken, a rendering other than normal, contrast, saturation or
    // sharpness not normal, a history of edits.
    int edit_signs = 0;
    bool profile = false;  // says what its numbers mean: an embedded profile, or sRGB by its EXIF
};
// What lies round a mark: the median of each channel, when it is even enough to compare (robust spread of light under
// 15 % of its middle).
struct GroundLight {
    LinearRgb light;
};
[[nodiscard]] std::optional<GroundLight> ground_light(const PhotoPatch& round);

// From the card's middle to the area's, in pixels of the photograph.
struct Way {
    double x_px = 0.0;
    double y_px = 0.0;
};

// Each gives what it found, warned or refused; the fine ones are left out.
[[nodiscard]] std::vector<PhotoFinding> file_findings(const FileEvidence& file);
[[nodiscard]] std::vector<PhotoFinding> card_findings(const std::optional<PatchFigures>& card,
                                                      const std::optional<LightSlope>& slope,
                                                      const std::optional<CardGain>& gain);
[[nodiscard]] std::vector<PhotoFinding> chart_findings(const ChartFit& fit);
struct AreaEvidence {
    std::optional<PatchFigures> figures;
    int shorter_side_px = 0;              // of the mark, in pixels of the photograph
    std::optional<double> edge_width_px;  // of what lies in and round the mark
    std::optional<LightSlope> card_slope;
    Way from_card;
    std::optional<GroundLight> round_area;
    std::optional<GroundLight> round_card;
};
[[nodiscard]] std::vector<PhotoFinding> area_findings(const AreaEvidence& area);
// By how much the light may differ between card and area, as far as the picture shows; 0.1 = a tenth.
[[nodiscard]] double shade_share(const AreaEvidence& area);

}  // namespace tonebath::science
