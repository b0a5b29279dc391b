// Two metals in one piece and stones tender to the bath, told before it is dipped: in words for the plan and for the bench.
#pragma once

#include "app/plan.hpp"
#include "app/subject.hpp"
#include "model/piece.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

struct MixedView {
    std::string piece;                 // number; empty: nothing to warn of
    // To be read before the dip, the most pressing first: its stones, where the other parts will be when this one is at its tone,
    // what is not known of a base, what others report with their sources.
    std::vector<std::string> words;
};
// Of this piece, with a dip of so many seconds for the tone asked. Nothing for a piece of one bare metal with no tender stone.
[[nodiscard]] MixedView mixed_view(Studio& studio, const Learned& learned, const Id<Piece>& piece, const PlanRequest& request, std::optional<double> seconds);
// Of the first piece that waits for its dip and has a part on the scale asked, the newest batch first.
[[nodiscard]] MixedView mixed_waiting(Studio& studio, const Learned& learned, const PlanRequest& request);

// For the bench: each waiting lane with its plan's time.
struct MixedLane {
    int lane = 0;
    Id<Piece> piece;
    PlanRequest request;
    double seconds = 0.0;
};
// In the same order; a piece that hangs in several lanes is looked at once for each.
[[nodiscard]] std::vector<MixedView> mixed_lanes(Studio& studio, const Learned& learned, const std::vector<MixedLane>& lanes);

}  // namespace tonebath::app
