#include "app/photo_tone.hpp"

#include "app/data_files.hpp"
#include "app/photo_words.hpp"
#include "base/files.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/rules/rule.hpp"
#include "picture/read.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

using picture::Point;
using science::Lab;
using science::Verdict;

constexpr std::string_view kField = "Photo";
constexpr std::size_t kNeutralPatch = 21;  // "neutral 5", nearest in lightness to a grey card
constexpr double kPatchShare = 0.5;        // ours: of a patch's width and height that is read: its middle

Point between(const Point& a, const Point& b, double share) {
    return {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
}

// The middle of a patch: straight lines between the marked corners.
Outline patch_outline(const ChartMark& chart, int column, int row) {
    const auto at = [&](double across, double down) {
        return between(between(chart.corners[0], chart.corners[1], across), between(chart.corners[3], chart.corners[2], across), down);
    };
    const double edge = 0.5 * (1.0 - kPatchShare);
    const double x0 = (column + edge) / kChartColumns, x1 = (column + 1 - edge) / kChartColumns;
    const double y0 = (row + edge) / kChartRows, y1 = (row + 1 - edge) / kChartRows;
    return {at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)};
}

Point middle_of(const Outline& mark) {
    Point low = mark.front(), high = mark.front();
    for (const Point& at : mark) {
        low = {std::min(low.x, at.x), std::min(low.y, at.y)};
        high = {std::max(high.x, at.x), std::max(high.y, at.y)};
    }
    return between(low, high, 0.5);
}

int shorter_side(const Outline& mark) {
    const auto [left, right] = std::minmax_element(mark.begin(), mark.end(), [](const Point& a, const Point& b) { return a.x < b.x; });
    const auto [top, foot] = std::minmax_element(mark.begin(), mark.end(), [](const Point& a, const Point& b) { return a.y < b.y; });
    return static_cast<int>(std::min(right->x - left->x, foot->y - top->y));
}

// How strongly two lights differ in any channel.
double apart(const science::LinearRgb& a, const science::LinearRgb& b) {
    const auto ratio = [](double x, double y) { return std::abs(x - y) / std::max({x, y, 1e-9}); };
    return std::max({ratio(a.r, b.r), ratio(a.g, b.g), ratio(a.b, b.b)});
}

class Measuring {
public:
    Measuring(const Picture& picture, const PhotoMarks& marks, MeasuredPhoto& photo) : picture_(picture), marks_(marks), photo_(photo) {}

    std::optional<Refusal> measure() {
        say_file();
        if (auto refused = read_card()) {
            return refused;
        }
        if (!photo_.refused && marks_.chart) {
            if (auto refused = read_chart()) {
                return refused;
            }
        }
        for (const Outline& mark : marks_.areas) {
            photo_.areas.push_back(measured(mark));
        }
        return std::nullopt;
    }

private:
    void say(const std::vector<science::PhotoFinding>& findings, const std::string& extra = {}) {
        for (const science::PhotoFinding& finding : findings) {
            photo_.words.push_back(photo_word(finding, extra));
            photo_.refused = photo_.refused || finding.verdict == Verdict::refused;
        }
    }

    void say_file() {
        const picture::Exif& exif = picture_.exif();
        say(science::file_findings({.jpeg_step = picture_.jpeg_step(), .edit_signs = 0, .profile = true}));
        say(science::file_findings({.jpeg_step = {}, .edit_signs = static_cast<int>(exif.edits.size()), .profile = true}), joined(exif.edits, "; "));
        say(science::file_findings({.jpeg_step = {}, .edit_signs = 0, .profile = !picture_.colours().empty()}),
            picture_.profile_damaged() ? "Its colour profile cannot be read; taken as sRGB." : "");
    }

    // The card as marked, else the chart's own grey.
    std::optional<Refusal> read_card() {
        Lab known = marks_.card_colour;
        if (marks_.card) {
            card_mark_ = *marks_.card;
        } else if (marks_.chart && marks_.chart->known.size() == static_cast<std::size_t>(kChartColumns * kChartRows)) {
            card_mark_ = patch_outline(*marks_.chart, kNeutralPatch % kChartColumns, kNeutralPatch / kChartColumns);
            known = marks_.chart->known[kNeutralPatch];
        }
        if (card_mark_.empty()) {
            say(science::card_findings(std::nullopt, std::nullopt, std::nullopt));
            return std::nullopt;
        }
        const science::PhotoPatch patch = picture_.inside(card_mark_);
        card_ = science::patch_figures(patch);
        slope_ = science::light_slope(patch);
        photo_.card = card_ ? science::card_gain(card_->mean, known) : std::nullopt;
        if (!card_) {
            return rules::refuse("photo.mark", {"Card", ""}, "the mark of the card lies outside the photo, or holds nothing that can be read.", "Mark it again.");
        }
        say(science::card_findings(card_, slope_, photo_.card));
        photo_.refused = photo_.refused || !photo_.card;
        round_card_ = ground(card_mark_, *card_);
        return std::nullopt;
    }

    std::optional<Refusal> read_chart() {
        std::vector<science::ChartPatch> patches;
        for (int row = 0; row < kChartRows; ++row) {
            for (int column = 0; column < kChartColumns; ++column) {
                const auto index = static_cast<std::size_t>(row * kChartColumns + column);
                const auto figures = science::patch_figures(picture_.inside(patch_outline(*marks_.chart, column, row)));
                if (index < marks_.chart->known.size() && figures && figures->clipped_high_share < 0.01 && figures->clipped_low_share < 0.01) {
                    patches.push_back({science::gained(figures->mean, photo_.card->factor), marks_.chart->known[index]});
                }
            }
        }
        photo_.chart = science::chart_fit(patches);
        if (!photo_.chart) {
            return rules::refuse("photo.chart_patches", {"Chart", std::to_string(patches.size())}, "too few of its patches can be read.",
                           "Mark the corners of its field of patches, the brown patch first, then clockwise; take the photo darker if patches are clipped.");
        }
        say(science::chart_findings(*photo_.chart));
        return std::nullopt;
    }

    // What lies round a mark, where it is even and not just more of the same: the nearest such band, for a mark may lie
    // well inside its piece.
    std::optional<science::GroundLight> ground(const Outline& mark, const science::PatchFigures& inside) const {
        constexpr double kSame = 0.1;  // ours: share by which the two lights differ in some channel
        for (const double gap : {0.12, 0.5, 0.9}) {
            std::optional<science::GroundLight> round = science::ground_light(picture_.round(mark, gap));
            if (round && apart(round->light, inside.mean) > kSame) {
                return round;
            }
        }
        return std::nullopt;
    }

    MeasuredArea measured(const Outline& mark) const {
        MeasuredArea area{.mark = mark};
        science::AreaEvidence evidence;
        evidence.figures = science::patch_figures(picture_.inside(mark));
        evidence.shorter_side_px = shorter_side(mark);
        // Coarse enough that noise between two squares stays under the edges that matter.
        constexpr std::size_t kEdgePixels = 1600;
        evidence.edge_width_px = science::edge_width_px(picture_.wide(mark, kEdgePixels));
        if (!card_mark_.empty()) {
            evidence.card_slope = slope_;
            const Point from = middle_of(card_mark_), to = middle_of(mark);
            evidence.from_card = {to.x - from.x, to.y - from.y};
        }
        if (marks_.one_ground && evidence.figures) {
            evidence.round_card = round_card_;
            evidence.round_area = ground(mark, *evidence.figures);
        }
        bool refused = photo_.refused || !evidence.figures;
        for (const science::PhotoFinding& finding : science::area_findings(evidence)) {
            area.words.push_back(photo_word(finding));
            refused = refused || finding.verdict == Verdict::refused;
        }
        if (!refused) {
            area.glare_share = evidence.figures->glare_share;
            area.reading = science::photo_reading(*evidence.figures, {.gain = *photo_.card, .card = *card_, .chart = photo_.chart, .light = light(), .shade_share = science::shade_share(evidence)});
        }
        return area;
    }

    // A card that came out coloured was no daylight, whatever was said.
    [[nodiscard]] science::LightKind light() const {
        const bool coloured = science::verdict(science::PhotoRule::light_coloured, photo_.card->cast_chroma) != Verdict::fine;
        return coloured ? science::LightKind::other : marks_.light;
    }

    const Picture& picture_;
    const PhotoMarks& marks_;
    MeasuredPhoto& photo_;
    Outline card_mark_;
    std::optional<science::PatchFigures> card_;
    std::optional<science::LightSlope> slope_;
    std::optional<science::GroundLight> round_card_;
};

// Numbers between commas; nothing where one of them is none.
std::optional<std::vector<double>> numbers_of(std::string_view text) {
    std::vector<double> numbers;
    for (const std::string& part : split(text, ',')) {
        const Result<double> number = parse_number("", part);
        if (!number || !std::isfinite(*number)) {
            return std::nullopt;
        }
        numbers.push_back(*number);
    }
    return numbers;
}

}  // namespace

Result<MeasuredPhoto> measure_photo(const Picture& picture, const std::string& name, const PhotoMarks& marks) {
    if (marks.areas.empty()) {
        return rules::refuse("photo.no_area", {"Area", ""}, "nothing is marked to be measured.", "Mark the piece, or part of it.");
    }
    MeasuredPhoto photo{.name = name, .width = picture.width(), .height = picture.height(), .bits = picture.bits(), .colours = picture.colours(), .taken = picture.exif().taken, .location = picture.exif().location};
    Measuring measuring(picture, marks, photo);
    if (auto refused = measuring.measure()) {
        return *refused;
    }
    return photo;
}

Result<MeasuredPhoto> measure_photo_file(const std::filesystem::path& file, const PhotoMarks& marks, const std::function<bool(double)>& go_on) {
    const Result<Picture> picture = picture::read_picture(file, go_on);
    return picture ? measure_photo(*picture, file.filename().string(), marks) : picture.error();
}

Result<std::vector<Lab>> read_chart_colours(const std::filesystem::path& file, bool before_2014) {
    const auto wrong = [&](const std::string& what) {
        return rules::refuse("photo.chart_file", {"Chart colours", file.filename().string()}, what, "It needs a head line with L, a, b and 24 rows, the patches row by row.");
    };
    std::string text;
    try {
        text = read_file(file);
    } catch (const FileError& fault) {
        return wrong(std::string("it cannot be read: ") + fault.what());
    }
    // Names of patches may stand in it: only the three columns count.
    const std::vector<CsvRecord> records = csv_records(text);
    std::array<std::size_t, 3> columns{};
    if (records.empty()) {
        return wrong("it is empty.");
    }
    for (std::size_t i = 0; i < 3; ++i) {
        const std::string plain(1, "Lab"[i]);
        const std::string made = plain + (before_2014 ? "_before" : "_after");
        const auto& head = records.front().cells;
        auto at = std::find(head.begin(), head.end(), plain);
        at = at == head.end() ? std::find(head.begin(), head.end(), made) : at;
        if (at == head.end()) {
            return wrong("it has no column " + plain + ".");
        }
        columns[i] = static_cast<std::size_t>(at - head.begin());
    }
    std::vector<Lab> colours;
    for (std::size_t row = 1; row < records.size(); ++row) {
        std::array<double, 3> lab{};
        for (std::size_t i = 0; i < 3; ++i) {
            const auto& cells = records[row].cells;
            const Result<double> number = columns[i] < cells.size() ? parse_number("", cells[columns[i]]) : Result<double>(Refusal{});
            if (!number) {
                return wrong(fmt::format("line {} holds no number there.", records[row].line));
            }
            lab[i] = *number;
        }
        colours.push_back({lab[0], lab[1], lab[2]});
    }
    if (colours.size() != static_cast<std::size_t>(kChartColumns * kChartRows)) {
        return wrong(fmt::format("it has {} rows.", colours.size()));
    }
    return colours;
}

Result<ChartMark> chart_mark(std::string_view typed, const std::filesystem::path& colours, bool before_2014) {
    const Result<Outline> field = parse_mark("Chart", typed);
    if (!field) {
        return field.error();
    }
    if (field->size() != 4) {
        return rules::refuse("photo.mark", {"Chart", typed}, "its field of patches has four corners.", "Type the brown patch's corner first, then clockwise.");
    }
    auto known = read_chart_colours(colours, before_2014);
    if (!known) {
        return known.error();
    }
    ChartMark mark{.corners = {}, .known = std::move(known).value()};
    std::copy(field->begin(), field->end(), mark.corners.begin());
    return mark;
}

Result<Outline> parse_mark(std::string_view field, std::string_view typed) {
    const Refusal wrong = rules::refuse("photo.mark", {field, typed}, "that is no mark.", "Type left, top, width and height in pixels, \"120,80,60,40\", or three and more corners, \"120,80 180,80 150,130\".");
    Outline mark;
    const std::vector<std::string> parts = split(trimmed(typed), ' ');
    for (const std::string& part : parts) {
        const auto numbers = numbers_of(part);
        if (!numbers || numbers->size() != (parts.size() == 1 ? 4u : 2u)) {
            return wrong;
        }
        if (parts.size() == 1) {
            return (*numbers)[2] > 0.0 && (*numbers)[3] > 0.0 ? Result<Outline>(picture::rectangle((*numbers)[0], (*numbers)[1], (*numbers)[2], (*numbers)[3])) : wrong;
        }
        mark.push_back({(*numbers)[0], (*numbers)[1]});
    }
    return mark.size() >= 3 ? Result<Outline>(mark) : wrong;
}

Result<Lab> parse_lab(std::string_view field, std::string_view typed) {
    const auto numbers = numbers_of(trimmed(typed));
    if (!numbers || numbers->size() != 3 || (*numbers)[0] < 0.0 || (*numbers)[0] > 100.0 || std::abs((*numbers)[1]) > 200.0 || std::abs((*numbers)[2]) > 200.0) {
        return rules::refuse("photo.lab", {field, typed}, "that is no colour.", "Type L*, a* and b* under D50, \"48.2, 3.1, -10\"; L* is 0 to 100.");
    }
    return Lab{(*numbers)[0], (*numbers)[1], (*numbers)[2]};
}

std::string lab_text(const Lab& colour) {
    return fmt::format("L* {:.1f}  a* {:.1f}  b* {:.1f}", colour.l, colour.a, colour.b);
}

std::string_view photo_holds_words() {
    return "The figure holds for this light and this camera; your reference piece has the last word.";
}

}  // namespace tonebath::app
