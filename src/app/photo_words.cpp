#include "app/photo_words.hpp"

#include "base/text.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

using science::PhotoRule;

std::string percent(double share) {
    return share < 0.095 ? fmt::format("{:.1f} %", 100.0 * share) : fmt::format("{:.0f} %", 100.0 * share);
}

std::string found(const science::PhotoFinding& finding, const std::string& extra) {
    const double figure = finding.figure;
    switch (finding.rule) {
        case PhotoRule::no_card: return "No grey card is marked, so the light is not known. Mark the card, or take the photo again with one.";
        case PhotoRule::card_small: return fmt::format("The card has {:.0f} pixels. Mark more of it, or go nearer.", figure);
        case PhotoRule::card_clipped_high: return percent(figure) + " of the card is at the top of its range. Take it darker.";
        case PhotoRule::card_clipped_low: return percent(figure) + " of the card is at the bottom of its range. Take it lighter.";
        case PhotoRule::card_uneven: return fmt::format("The light changes by {} across the card. Turn the light or the card until it is even.", percent(figure));
        case PhotoRule::area_small: return fmt::format("The area has {:.0f} pixels. Mark more of it, or go nearer.", figure);
        case PhotoRule::area_clipped_high: return percent(figure) + " of the area is at the top of its range and left out. Take it darker, or turn the piece.";
        case PhotoRule::area_clipped_low: return percent(figure) + " of the area is at the bottom of its range. Take it lighter.";
        case PhotoRule::area_glare: return percent(figure) + " of the area was left out as glare, dust or edge. Turn the piece, or mark a quieter part.";
        case PhotoRule::area_blurred: return fmt::format("The sharpest edges are {} as wide as the area. Focus, or go nearer.", percent(figure));
        case PhotoRule::light_slope: return fmt::format("The light falls off across the card; at the piece it would be off by {}. Lay the card beside the piece.", percent(figure));
        case PhotoRule::light_differs: return fmt::format("What lies round the card and round the piece differs in light by {}: one of them is in shade, or they lie on different ground. If so, say that the ground differs.", percent(figure));
        case PhotoRule::light_mixed: return fmt::format("The light changes colour by {} across the photo: two lights are mixed. Turn one off.", percent(figure));
        case PhotoRule::light_coloured: return fmt::format("The card came out coloured (chroma {:.0f}): a lamp, not day. The figure is wider; lay a colour chart beside the piece, or use daylight.", figure);
        case PhotoRule::chart_fits: return fmt::format("The chart agrees with itself to {:.1f} only (CIEDE2000, nine patches of ten): the light has narrow bands, or its corners are marked askew. The figure is as wide.", figure);
        case PhotoRule::jpeg_loss: return fmt::format("The JPEG is coarse: colours move in steps of {:.1f} levels of 255. Save it at a higher quality.", figure / 8.0);
        case PhotoRule::edited: return "The photo was changed after it was taken: " + extra + ". Use the one from the camera.";
        case PhotoRule::no_profile: return extra.empty() ? "The file does not say what its colours mean; taken as sRGB." : extra;
    }
    return {};
}

}  // namespace

std::string_view rule_key(const PhotoWord& word) {
    return science::limits_of(word.finding.rule).key;
}

PhotoWord photo_word(const science::PhotoFinding& finding, const std::string& extra) {
    return {finding, found(finding, extra)};
}

}  // namespace tonebath::app
