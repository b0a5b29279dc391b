// The evening at the coats that is under way: how far each stone is and which is next, read back from the log alone, so
// that a power cut costs nothing.
#pragma once

#include "base/quantity_text.hpp"
#include "model/stones.hpp"
#include "science/coat_plan.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace tonebath::app {

class Studio;

struct CoatPlace {
    int place = 1;
    std::string stone;           // its number; empty = not named
    int done = 0;                // brushed or passed over
    int passed = 0;              // of them passed over
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
    [[nodiscard]] int rows() const { return row_of(coating.stones); }
    // From when this row's next stone may have its coat; nothing where it may at once or has them all.
    [[nodiscard]] std::optional<Stamp> row_from(int row) const;
    // First and last place of a row.
    [[nodiscard]] std::pair<int, int> places_of(int row) const;
    // Finish at the pace of the plan, going on from now; hard enough for the bath by then.
    [[nodiscard]] Stamp coats_end(const Stamp& now) const;
    [[nodiscard]] Stamp bath_from(const Stamp& now) const { return plus_seconds(coats_end(now), coating.cure.seconds()); }
};
// The one begun last that was not ended, or the one with this id.
[[nodiscard]] std::optional<CoatingState> open_coating(Studio& studio);
[[nodiscard]] std::optional<CoatingState> coating_state(Studio& studio, const Id<Coating>& id);
// What a bottle's times are taken to be told at, where it does not say (ours).
inline constexpr double kLabelRoom_c = 20.0;
// A difference of temperatures in her unit: "11.1 °C", "20.0 °F".
[[nodiscard]] std::string apart_text(double apart_c, const UnitChoice& units);
// Both rules against clouding with their origin; empty without both readings.
[[nodiscard]] std::vector<std::string> dew_words(std::optional<Celsius> room, std::optional<double> humidity_percent, const UnitChoice& units);
// That damp air may cloud and slow a coat; empty where both rules are met.
[[nodiscard]] std::string damp_words(std::optional<Celsius> room, std::optional<double> humidity_percent);
// How much slower in a colder room, computed; empty in a warmer one.
[[nodiscard]] std::string cold_words(std::optional<Celsius> room, const UnitChoice& units);

}  // namespace tonebath::app
