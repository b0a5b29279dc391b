// A piece of two metals in one bath: where each of its metals will be at the time chosen for one of them.
#pragma once

#include "app/plan.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

struct MetalReport {
    std::string metal;                 // "plated": of any filled or plated metal
    std::string report;
    std::string source;
    std::string trust;
};

struct PartThen {
    std::string part;                  // "lid"
    std::string metal;                 // empty = not known
    std::string tone;                  // most likely; empty where nothing can be told
    std::string from, to;              // 80 of 100
    std::optional<double> share;       // of the way through its scale, 0 bare to 1 the end, in the middle
    std::vector<MetalReport> reports;  // as they stand, side by side
    std::string why_none;              // why no tone is told
};

struct TwoMetals {
    std::string piece;
    double seconds = 0.0;              // the time looked at
    std::vector<PartThen> parts;
    std::optional<double> gap;         // widest distance of two parts' shares; none with fewer than two told
    std::vector<std::string> warnings;  // to be read before dipping; empty: one metal, or no gap to speak of
};

// At `seconds` of a dip from request.drop_at in its bath (without: at the plan's own time). request names the bath, and the
// scale and tone that are aimed at. Refusals: those of plan() where no seconds are given; "data.bad_file".
[[nodiscard]] Result<TwoMetals> two_metals(Studio& studio, const Learned& learned, const Id<Piece>& piece, const PlanRequest& request,
                                           std::optional<double> seconds = std::nullopt);

}  // namespace tonebath::app
