// A whole batch in one bath: in which order and how far apart, each piece's in and out, and where to reheat.
#pragma once

#include "app/plan.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

struct BatchAsk {
    PlanRequest first;                     // bath, scale, and when the first piece is dropped
    std::vector<Id<Tone>> tones;           // one for each piece, on first.scale_id; first.tone_id does not count
    double interval_s = 15.0;              // wanted between drops
    std::optional<double> reheat_to_c;     // default: the hottest that this bath was read at
    double longest_s = 90.0;               // a piece that would hang longer waits for a reheat
};

struct BatchLane {
    std::size_t piece = 0;                 // place in the list, from 1
    std::string tone;
    std::size_t round = 1;
    double in_s = 0.0, out_s = 0.0;        // since the first drop
    double in_bath_s = 0.0;
    double temp_c = 0.0;                   // of the bath at its drop
};

struct BatchRound {
    std::size_t pieces = 0;
    double interval_s = 0.0;
    std::string order_words;               // "as listed", "the longest first"
    std::optional<double> reheat_to_c;     // before it
    double from_s = 0.0;                   // its first drop, since the first drop of all
};

// The bath's temperature on its way, since the first drop; a reheat is a jump.
struct BatchPoint {
    double t_s = 0.0, temp_c = 0.0;
};

struct BatchPlan {
    std::vector<BatchLane> lanes;          // in order of dropping
    std::vector<BatchPoint> course;        // from the first drop to the last out
    std::vector<BatchRound> rounds;
    std::vector<std::string> words;        // what was changed and why; what cannot be avoided
    std::optional<Refusal> refusal;
};

inline constexpr std::size_t kMostInBatch = 60;  // ours: more than hang on any rack, and quick to plan

// Refusals: those of plan(), "batch.none" (no piece, or more than kMostInBatch), "batch.interval" (not 4 s to 3 min).
[[nodiscard]] BatchPlan batch_plan(Studio& studio, const Learned& learned, const BatchAsk& ask);

}  // namespace tonebath::app
