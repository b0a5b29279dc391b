// Pieces as the page shows them: the list, one piece's whole story, and the spread of its batch.
#pragma once

#include "app/learning.hpp"
#include "base/clock.hpp"
#include "base/ids.hpp"
#include "model/dip.hpp"
#include "model/piece.hpp"
#include "science/dose.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Studio;

// A place on a tone scale: the tone's position and the share of the way through it.
struct ScalePlace {
    int tone = 0;
    double share = 0.5;
};

struct PieceRow {
    Id<Piece> id;
    std::string number;
    std::string design;
    std::string batch;                 // its number
    std::string rack_dip;              // "1, 40 s": rack and the last dip's seconds
    std::optional<ScalePlace> tone;    // last judgement before sealing; unknown = not judged
    std::string tone_word;
    std::string scale;                 // id of the tone's scale
    std::string seal;                  // wax, brushed lacquer …; "none" when after-work is written down without one
    std::string found_by;              // folded text that a search looks through
};

// At most `limit`, in natural order of the numbers. Every word of `find` must stand in number, design, batch, order, tone,
// seal, stone, or the dates of its dips ("12 jan", "2026-01").
struct PieceList {
    std::vector<PieceRow> rows;
    std::size_t in_log = 0;            // pieces in all
};
[[nodiscard]] PieceList piece_list(Studio& studio, std::string_view find, std::size_t limit = 5000);

// One thing that happened to a piece.
struct StoryStep {
    std::string id;                    // of the record
    Stamp at;
    std::string what;                  // "Dipped 40 s at 40.0 °C, Bath 28, LS-2"
    std::string more;                  // "equal to 10 s at 60 °C, fresh"
    bool main = false;                 // the dip: what the page dwells on
};

struct BatchMate {
    std::string number;
    ScalePlace tone;
    bool outlier = false;
};

struct PieceStory {
    Piece piece;
    std::string order;                 // its order's number; empty = none
    std::string title;                 // "Limpet, sterling lid on copper cup"
    std::string line;                  // "point-back 14 mm, 3 coats … Sold 28 Feb. Batch 22, rack 3."
    std::vector<StoryStep> steps;      // oldest first
    std::string scale;                 // id of the scale that its tone and its batch's stand on
    std::optional<ScalePlace> tone;
    std::optional<ScalePlace> aim;     // middle of the tone aimed at
    std::string aim_word;
    std::vector<BatchMate> mates;      // judged pieces of its batch, itself left out
    std::string spread_words;          // "17 judged: blue in the middle, half within 0.6 of a tone; 1 stands out: L-060"
};
// `laws`: by which doses are told; the fitted ones where there are any.
[[nodiscard]] std::optional<PieceStory> piece_story(Studio& studio, const Id<Piece>& piece, const Laws& laws);

// Spread of a batch on its tone scale (B1): robust centre and spread in tone steps, and who stands out.
struct BatchSpread {
    std::string batch;
    std::size_t pieces = 0;
    std::size_t judged = 0;
    std::optional<double> middle;      // tone position + share
    std::optional<double> mad;         // median distance from the middle, tone steps
    std::vector<std::string> outliers; // numbers
    std::string target_word;
    std::optional<double> from_target; // middle less the target's middle, tone steps
    std::vector<BatchMate> mates;
    std::string scale;
    std::string words;
};
[[nodiscard]] std::optional<BatchSpread> batch_spread(Studio& studio, const Id<Batch>& batch);

}  // namespace tonebath::app
