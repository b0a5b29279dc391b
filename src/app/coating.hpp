// The evening at the coats that is under way: how far each stone is and which is next, read back from the log alone, so
// that a power cut costs nothing.
#pragma once

#include "model/stones.hpp"
#include "science/coat_plan.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct CoatPlace {
    int place = 1;
    std::string stone;           // its number; empty = not named
    int done = 0;                // brushed or passed over
    std::optional<Stamp> begun;  // its last coat
};
struct CoatingState {
    Coating coating;
    std::string bottle;                  // number
    std::vector<CoatPlace> places;       // from 1
    std::optional<int> next_place;       // nothing when all are done
    int next_layer = 1;
    std::optional<Stamp> next_from;      // that stone's wait is over then
    std::optional<Stamp> first, last;    // strokes
    science::CoatAsk ask;
    science::CoatPlan plan;
    [[nodiscard]] int row_of(int place) const { return (place - 1) / coating.row + 1; }
    // Finish at the pace of the plan, going on from now; hard enough for the bath by then.
    [[nodiscard]] Stamp coats_end(const Stamp& now) const;
    [[nodiscard]] Stamp bath_from(const Stamp& now) const { return plus_seconds(coats_end(now), coating.cure.seconds()); }
};
// The one begun last that was not ended, or the one with this id.
[[nodiscard]] std::optional<CoatingState> open_coating(Studio& studio);
[[nodiscard]] std::optional<CoatingState> coating_state(Studio& studio, const Id<Coating>& id);
// In words: both rules with their origin, and how much slower in a colder room. Empty where no reading was written.
[[nodiscard]] std::vector<std::string> air_words(std::optional<Celsius> room, std::optional<double> humidity_percent);

}  // namespace tonebath::app
