#include "science/photo_rules.hpp"

#include "base/check.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::science {

namespace {

// L* of 18 % grey moves by 21.8 for a whole change of light: dL* = (116/3) (0.18)^(1/3) dY/Y. So 5 % is 1.1.
constexpr std::string_view kByLightness = "ours: a change of light by 5 % moves L* of 18 % grey by 1.1 (arithmetic)";
constexpr std::string_view kNoSource = "common practice, no source";

constexpr std::array<RuleLimits, 18> kRules{{
    {PhotoRule::no_card, "no_card", std::nullopt, 0.5, true, "grey cards marked", "without one the light is unknown"},
    {PhotoRule::card_small, "card_small", 1600.0, 100.0, true, "pixels of the card", kNoSource},
    {PhotoRule::card_clipped_high, "card_clipped_high", 0.001, 0.01, false, "share of the card at the top of a channel",
     "a clipped pixel has lost its figure; the shares are common practice, no source"},
    {PhotoRule::card_clipped_low, "card_clipped_low", 0.001, 0.01, false, "share of the card at the bottom of a channel",
     "a clipped pixel has lost its figure; the shares are common practice, no source"},
    {PhotoRule::card_uneven, "card_uneven", 0.05, 0.20, false, "change of light from corner to corner of the card",
     kByLightness},
    {PhotoRule::area_small, "area_small", 400.0, 64.0, true, "pixels of the area", kNoSource},
    {PhotoRule::area_clipped_high, "area_clipped_high", 0.05, 0.25, false, "share of the area at the top of a channel",
     "a few are glare and left out; the shares are common practice, no source"},
    {PhotoRule::area_clipped_low, "area_clipped_low", 0.02, 0.25, false,
     "share of the area at the bottom of a channel",
     "a clipped pixel has lost its figure; the shares are common practice, no source"},
    {PhotoRule::area_glare, "area_glare", 0.20, 0.45, false, "share of the area left out as glare, dust or edge",
     "ours: above a half the middle is no longer that of the piece"},
    {PhotoRule::area_blurred, "area_blurred", 0.15, 0.50, false, "width of the sharpest edges over the shorter side of the area",
     "ours: an edge that wide mixes the area with what lies beside it"},
    {PhotoRule::light_slope, "light_slope", 0.05, 0.25, false,
     "change of light from card to area, if it goes on as across the card", kByLightness},
    {PhotoRule::light_differs, "light_differs", 0.20, 1.00, false,
     "difference of light between what lies round the card and round the area",
     "ours: 20 % is 4 in L*, more than cloth differs; twice the light is sun and shade"},
    {PhotoRule::light_mixed, "light_mixed", 0.04, 0.20, false,
     "change of red or blue against green: across the card, or from round the card to round the area",
     "ours: 4 % moves a* or b* of 18 % grey by about 1 (arithmetic)"},
    {PhotoRule::light_coloured, "light_coloured", 10.0, std::nullopt, false, "chroma of the card as photographed",
     "ours: day balanced by a camera stays under it, a lamp that was not balanced is far above"},
    {PhotoRule::chart_fits, "chart_fits", 2.5, 8.0, false,
     "CIEDE2000 that nine of ten patches stay under, each worked out from the others",
     "ours: a lamp of narrow bands, or a chart marked askew"},
    {PhotoRule::jpeg_loss, "jpeg_loss", 8.0, 24.0, false, "first step of the JPEG tables",
     "a flat colour moves in steps of an eighth of it: 1 and 3 levels of 255 (ITU-T T.81, arithmetic)"},
    {PhotoRule::edited, "edited", 0.5, std::nullopt, false, "signs of editing in the file",
     "EXIF 2.3: CustomRendered, Contrast, Saturation, Sharpness, DateTime; an edit history"},
    {PhotoRule::no_profile, "no_profile", 0.5, std::nullopt, false, "files that do not say what their numbers mean",
     "taken as sRGB, as IEC 61966-2-1 asks of pictures without a profile"},
}};

bool beyond(const RuleLimits& rule, const std::optional<double>& limit, double figure) {
    return limit && (rule.below ? figure < *limit : figure > *limit);
}

void find(std::vector<PhotoFinding>& found, PhotoRule rule, double figure) {
    if (const Verdict said = verdict(rule, figure); said != Verdict::fine) {
        found.push_back({rule, said, figure});
    }
}

double change(double from, double to) {
    const double ratio = to / from;
    return std::max(ratio, 1.0 / ratio) - 1.0;
}

double light_of(const LinearRgb& light) {
    return xyz_from_linear(light).y;
}

double sloped(const AreaEvidence& area) {
    return area.card_slope
               ? std::abs(area.card_slope->per_x * area.from_card.x_px + area.card_slope->per_y * area.from_card.y_px)
               : 0.0;
}

double differing(const AreaEvidence& area) {
    return area.round_area && area.round_card ? change(light_of(area.round_card->light), light_of(area.round_area->light))
                                              : 0.0;
}

}  // namespace

std::span<const RuleLimits> photo_rules() {
    return kRules;
}

const RuleLimits& limits_of(PhotoRule rule) {
    const RuleLimits& limits = kRules[static_cast<std::size_t>(rule)];
    TB_CHECK(limits.rule == rule);
    return limits;
}

Verdict verdict(PhotoRule rule, double figure) {
    const RuleLimits& limits = limits_of(rule);
    return beyond(limits, limits.refuses, figure) ? Verdict::refused
           : beyond(limits, limits.warns, figure) ? Verdict::warned
                                                  : Verdict::fine;
}

std::optional<GroundLight> ground_light(const PhotoPatch& round) {
    constexpr double kEven = 0.15;
    const std::optional<PatchFigures> figures = patch_figures(round);
    if (!figures || figures->light_noise > kEven || figures->left_out_share > 0.4) {
        return std::nullopt;
    }
    const LinearRgb light = median_light(round);
    return light.r > 0.0 && light.g > 0.0 && light.b > 0.0 ? std::optional(GroundLight{light}) : std::nullopt;
}

std::vector<PhotoFinding> file_findings(const FileEvidence& file) {
    std::vector<PhotoFinding> found;
    if (file.jpeg_step) {
        find(found, PhotoRule::jpeg_loss, *file.jpeg_step);
    }
    find(found, PhotoRule::edited, file.edit_signs);
    find(found, PhotoRule::no_profile, file.profile ? 0.0 : 1.0);
    return found;
}

std::vector<PhotoFinding> card_findings(const std::optional<PatchFigures>& card, const std::optional<LightSlope>& slope,
                                        const std::optional<CardGain>& gain) {
    std::vector<PhotoFinding> found;
    if (!card) {
        find(found, PhotoRule::no_card, 0.0);
        return found;
    }
    find(found, PhotoRule::card_small, static_cast<double>(card->pixels));
    find(found, PhotoRule::card_clipped_high, card->clipped_high_share);
    find(found, PhotoRule::card_clipped_low, card->clipped_low_share);
    if (slope) {
        find(found, PhotoRule::card_uneven, slope->corner_to_corner);
        find(found, PhotoRule::light_mixed, slope->colour);
    }
    if (gain) {
        find(found, PhotoRule::light_coloured, gain->cast_chroma);
    }
    return found;
}

std::vector<PhotoFinding> chart_findings(const ChartFit& fit) {
    std::vector<PhotoFinding> found;
    find(found, PhotoRule::chart_fits, fit.ninth_in_ten_de00);
    return found;
}

std::vector<PhotoFinding> area_findings(const AreaEvidence& area) {
    std::vector<PhotoFinding> found;
    if (!area.figures) {
        find(found, PhotoRule::area_small, 0.0);
        return found;
    }
    find(found, PhotoRule::area_small, static_cast<double>(area.figures->pixels));
    find(found, PhotoRule::area_clipped_high, area.figures->clipped_high_share);
    find(found, PhotoRule::area_clipped_low, area.figures->clipped_low_share);
    find(found, PhotoRule::area_glare, area.figures->left_out_share);
    if (area.edge_width_px && area.shorter_side_px > 0) {
        find(found, PhotoRule::area_blurred, *area.edge_width_px / area.shorter_side_px);
    }
    find(found, PhotoRule::light_slope, sloped(area));
    find(found, PhotoRule::light_differs, differing(area));
    if (area.round_area && area.round_card) {
        const LinearRgb& card = area.round_card->light;
        const LinearRgb& here = area.round_area->light;
        find(found, PhotoRule::light_mixed,
             std::max(change(card.r / card.g, here.r / here.g), change(card.b / card.g, here.b / here.g)));
    }
    return found;
}

double shade_share(const AreaEvidence& area) {
    return std::max(sloped(area), differing(area));
}

}  // namespace tonebath::science
