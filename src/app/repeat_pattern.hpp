// What an order or a piece stands for when it is wanted again: pieces, dips and baths of then, pieces of now. For .cpp
// files of this layer only.
#pragma once

#include "app/subject.hpp"
#include "model/piece.hpp"
#include "model/tone.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Studio;

// The pieces that set the pattern, with their parts, and what was dipped of them.
struct RepeatPattern {
    std::string name;  // "order R-07", "L-058"
    std::vector<Piece> pieces;
    std::optional<Target> target;
    std::vector<Piece> newer;  // pieces of the repeat, else those of the newest batch of the same design
};

// Refusal "repeat.unknown".
[[nodiscard]] Result<RepeatPattern> repeat_pattern(Studio& studio, const std::string& number);

[[nodiscard]] std::vector<Part> parts_of(Studio& studio, const Piece& piece);
// The parts of a piece whose metal is that of the scale, each as what is dipped; the piece itself where it has none.
[[nodiscard]] std::vector<Subject> on_scale(Studio& studio, const Piece& piece, const Id<ToneScale>& scale);
// Their dips in all the pieces, piece by piece.
[[nodiscard]] std::vector<std::vector<Dip>> dips_on_scale(Studio& studio, const std::vector<Piece>& pieces,
                                                          const Id<ToneScale>& scale);

}  // namespace tonebath::app
