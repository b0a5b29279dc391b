// A photograph with a grey card becomes a measured colour: reads the file, weighs every rule, says what came of it.
#pragma once

#include "base/result.hpp"
#include "picture/picture.hpp"
#include "science/photo_rules.hpp"

#include <array>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

using picture::Outline;
using picture::Picture;

// A chart of 6 x 4 patches: the four corners of its field of patches, first patch's corner first, then clockwise, and
// what is known of the patches, row by row.
struct ChartMark {
    std::array<picture::Point, 4> corners;
    std::vector<science::Lab> known;
};
inline constexpr int kChartColumns = 6, kChartRows = 4;
// Known colours from a file: columns L, a, b (or those named L_after …, of charts made since November 2014), one row a
// patch, 24 rows. Refusal "photo.chart_file".
[[nodiscard]] Result<std::vector<science::Lab>> read_chart_colours(const std::filesystem::path& file, bool before_2014 = false);

// The chart's field as typed (a rectangle or four corners), with the known colours of a file.
[[nodiscard]] Result<ChartMark> chart_mark(std::string_view typed, const std::filesystem::path& colours, bool before_2014 = false);

inline constexpr science::LightKind kDaylight = science::LightKind::daylight, kLightNotSaid = science::LightKind::not_said,
                                    kOtherLight = science::LightKind::other;

struct PhotoMarks {
    std::optional<Outline> card;
    std::vector<Outline> areas;
    std::optional<ChartMark> chart;
    science::Lab card_colour = science::kGreyCard;
    science::LightKind light = science::LightKind::not_said;
    bool one_ground = true;  // card and pieces lie on the same cloth or board
};

// A rule's word in full: what was found, and what to do.
struct PhotoWord {
    science::PhotoFinding finding;
    std::string text;
};

// Stable, for files and scripts: "card_uneven".
[[nodiscard]] std::string_view rule_key(const PhotoWord& word);

struct MeasuredArea {
    Outline mark;
    std::optional<science::PhotoReading> reading;  // nothing where it was refused
    double glare_share = 0.0;
    std::vector<PhotoWord> words;
};

struct MeasuredPhoto {
    std::string name;
    int width = 0, height = 0, bits = 8;
    std::string colours;  // what its numbers mean
    std::string taken;    // as EXIF has it
    bool location = false;
    bool refused = false;  // by a rule of the file, the card or the chart: no area has a reading
    std::optional<science::CardGain> card;
    std::optional<science::ChartFit> chart;
    std::vector<PhotoWord> words;  // of file, card and chart
    std::vector<MeasuredArea> areas;
};

// Never refuses but for marks that say nothing ("photo.no_area", "photo.chart_patches"): what rules refuse stands in the
// answer with its figures.
[[nodiscard]] Result<MeasuredPhoto> measure_photo(const Picture& picture, const std::string& name, const PhotoMarks& marks);
// Reads the file first; refusals of picture/read.hpp.
[[nodiscard]] Result<MeasuredPhoto> measure_photo_file(const std::filesystem::path& file, const PhotoMarks& marks,
                                                       const std::function<bool(double)>& go_on = {});

// "x,y,w,h" in pixels of the upright photo, or three and more corners "x,y x,y x,y". Refusal "photo.mark".
[[nodiscard]] Result<Outline> parse_mark(std::string_view field, std::string_view typed);
// "50.1, 3.2, -10". Refusal "photo.lab".
[[nodiscard]] Result<science::Lab> parse_lab(std::string_view field, std::string_view typed);
// "L* 50.1  a* 3.2  b* -10.0"
[[nodiscard]] std::string lab_text(const science::Lab& colour);
// That the figure holds for one light and one camera, and who has the last word.
[[nodiscard]] std::string_view photo_holds_words();

}  // namespace tonebath::app
