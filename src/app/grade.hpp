// The program grades itself: of pieces that were judged, how many landed in the range that it promised from what was on
// record before each was dropped.
#pragma once

#include "app/learning.hpp"
#include "science/promise_record.hpp"

#include <functional>
#include <string>
#include <vector>

namespace tonebath::app {

struct GradedPiece {
    std::string what;            // "L-058 lid"
    Stamp at;                    // its drop: only what was written down before it counted
    std::string bath;            // number
    std::string judged;          // word
    std::string from, to;        // promised, 80 of 100
    science::PromiseMark mark;
};

struct Grade {
    science::PromiseRecord record;
    std::vector<GradedPiece> pieces;  // newest first
    std::size_t watched = 0;          // pulled by eye: not counted
    std::size_t without_time = 0;     // past work without a moment of its own: not counted
    std::size_t earlier = 0;          // before the newest kMostFits sets of records: not counted
    std::string words;                // "41 of 48 landed inside …"
    std::string verdict;              // in words
};

inline constexpr std::size_t kMostFits = 24;  // ours: each new set of earlier records is a fit of its own

// Refits for each set of earlier records: seconds; never on the window's thread. Ends early, with what it has, once
// `still_wanted` (where given) says no.
[[nodiscard]] Grade grade(Studio& studio, const Learned& learned, const std::function<bool()>& still_wanted = {});

}  // namespace tonebath::app
