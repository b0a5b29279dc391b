// Measured colours: where one lies along a metal's tones, and how far two of them are apart.
#pragma once

#include "base/result.hpp"
#include "science/colour_path.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Studio;

// A stretch of the scale that a reading may come from.
struct ToneStretch {
    double place = 0.0;  // 0 the first tone, 1 the second; between them in shares
    double from = 0.0;
    double to = 0.0;
    double away_de00 = 0.0;
    std::string words;  // "gold, 0.4 of the way to amber"; "blue or further along"
};
struct ToneFound {
    std::string scale;  // "sterling"
    bool own = false;   // by the studio's measured tones; else by the film of silver sulfide that optics gives
    std::vector<ToneStretch> stretches;  // nearest first; more than one: the judged word must choose
    bool off_scale = false;
    std::string words;
};
// `metal` as typed, `surface` may be empty. Refusals: metal unknown; "scale.no_colours" where fewer than two of its tones
// are measured and no optics stand in.
[[nodiscard]] Result<ToneFound> tone_of_reading(Studio& studio, std::string_view metal, std::string_view surface, const science::Lab& colour,
                                                double error_de00);

// A colour that was measured: by photograph, by a handheld instrument, or as written down for a piece, part or strip.
struct ColourReading {
    std::string name;
    science::Lab colour;
    std::optional<double> error_de00;  // holds 9 of 10; not known
};
// "48.2, 3.1, -10", with its error as a fourth figure where it is known; or the number of a piece or strip: its newest
// measured judgement; or "FILE#NAME", a reading in a file of an instrument. Refusals "photo.lab", "reading.none".
[[nodiscard]] Result<ColourReading> reading_of(Studio& studio, std::string_view field, std::string_view typed);

struct ReadingDifference {
    double de00 = 0.0;
    double l = 0.0, c = 0.0, h = 0.0;     // second minus first: lightness, chroma, hue (as a distance, signed by its turn)
    std::optional<double> error_de00;     // of the difference, root of both squares; not known where one is not
    bool told_apart = true;               // false: within that error
    std::optional<double> tones;          // second minus first along the scale; above 0 it is further along
    std::optional<bool> within;           // of the tolerance that was asked
    std::string words;
};
struct DifferenceAsk {
    std::string metal, surface;          // empty: no place on a scale is given
    std::optional<double> tolerance_de00;
};
[[nodiscard]] Result<ReadingDifference> difference_of(Studio& studio, const ColourReading& first, const ColourReading& second, const DifferenceAsk& ask);

// One piece measured again and again: how far its readings scatter, and from what on a difference is worth believing.
struct Steadiness {
    std::size_t readings = 0;
    science::Lab mean;
    double scatter_de00 = 0.0;   // root of the sum of squared differences from the mean over n - 1
    double smallest_de00 = 0.0;  // 2.77 times it: two readings of one piece differ by more once in twenty (ISO 5725-6,
                                 // for a figure in one direction; a little wide for three)
    std::string words;
};
// Refusal "reading.too_few": fewer than three.
[[nodiscard]] Result<Steadiness> steadiness_of(const std::vector<ColourReading>& readings);

}  // namespace tonebath::app
