// Where a measured colour lies along an ordered scale of tones whose colours are known.
#pragma once

#include "science/colour.hpp"

#include <span>
#include <vector>

namespace tonebath::science {

// One known colour of the scale: `place` is its number on the scale (0 first tone, 1 the second; between them in
// shares).
struct PathPoint {
    double place = 0.0;
    Lab colour;
};

// A stretch of the scale that the reading may come from.
struct PathPlace {
    double place = 0.0;  // nearest point of the stretch
    double from = 0.0;   // the stretch itself, from <= place <= to
    double to = 0.0;
    double distance_de00 = 0.0;  // from the reading to the nearest point
    bool at_start = false;       // the stretch reaches the first point: the piece may be lighter than anything known
    bool at_end = false;         // or the last one: it may be further along
};

struct PathReading {
    // Nearest first, at least one. More than one when the reading cannot tell them apart: then the judged word must
    // choose.
    std::vector<PathPlace> places;
    // The reading lies further from the scale than its own error: another surface, light or metal than the strips had.
    bool off_path = false;
};

// `path` has at least two points with rising places and runs straight in L*a*b* between them; `error_de00` > 0 is the
// error of the reading. Kept is every stretch no further (CIEDE2000) from the reading than the nearest point plus the
// error. A scale may turn: on silver L* falls to blue and rises again, so two stretches are no fault. The path is
// searched in steps of at most 0.5 in L*a*b*; nearest points and ends are then made exact, but a stretch shorter than a
// step may be missed.
[[nodiscard]] PathReading place_on_path(std::span<const PathPoint> path, const Lab& reading, double error_de00);

// The places that overlap the judged stretch [from, to] of the scale, in the same order; all of them when none does.
[[nodiscard]] std::vector<PathPlace> agreeing_with(const PathReading& reading, double from, double to);

}  // namespace tonebath::science
