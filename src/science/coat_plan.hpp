// An evening at the coats: how long the loop over the rows takes, room air and its dew point, films and distances.
// Formulas, sources and doubts: docs/formulas/coats.md.
#pragma once

namespace tonebath::science {

// stones >= 1, coats >= 1, times in seconds, not below 0. A stone's wait runs from the start of one coat to the start
// of its next, so the loop over the rows may itself be the wait.
struct CoatAsk {
    int stones = 1;
    int coats = 1;
    double each_s = 0.0;
    double wait_s = 0.0;
    double cure_s = 0.0;  // from the end of the last coat
};
struct CoatPlan {
    double loop_s = 0.0;   // once over all stones
    double round_s = 0.0;  // from the start of one round to the start of the next: loop or wait, the longer
    double idle_s = 0.0;   // hands idle in each round but the last
    double coats_s = 0.0;  // from the first stroke to the end of the last
    double bath_s = 0.0;   // from the first stroke until the last stone is hard enough for the bath
};
[[nodiscard]] CoatPlan coat_plan(const CoatAsk& ask);
// When the coat `layer` (from 1) of the stone at `place` (from 1) begins, s from the first stroke.
[[nodiscard]] double coat_begins_s(const CoatAsk& ask, int place, int layer);

// Dew point over water, °C. Magnus form, 17.62 and 243.12 °C (WMO Guide, quoted second-hand); -45 to 60 °C, 0 < RH <= 100.
[[nodiscard]] double dew_point_c(double air_c, double humidity_percent);

// Both published rules against clouding, from sprayed lacquer: not above 65 % RH; air at least 20 °F (11.1 °C) above
// the dew point. For a brush they are a guess.
inline constexpr double kMostHumidity_percent = 65.0;
inline constexpr double kLeastMargin_c = 20.0 / 1.8;
struct RoomAir {
    double dew_point_c = 0.0;
    double margin_c = 0.0;
    bool humidity_met = false;
    bool margin_met = false;
};
[[nodiscard]] RoomAir room_air(double air_c, double humidity_percent);

// By how much a solvent coat dries slower in this air than in air of `label_c`: from the heat of vaporisation of ethyl
// acetate (35.6 kJ/mol) and butyl acetate (43.9), computed and doubtful. Below 1 in a warmer room.
struct DryingFactor {
    double low = 1.0;
    double high = 1.0;
};
[[nodiscard]] DryingFactor drying_factor(double air_c, double label_c);

// Dry film of a wet one: wet x solids, µm; with `thinner` parts of thinner to one of lacquer the solids thin out.
[[nodiscard]] double dry_film_um(double wet_um, double solids_percent, double thinner = 0.0);

// How far a coat should reach from the point against how far the stone's edge is from it (half its size). The distance
// of 6 to 8 mm is common practice, no source.
enum class Cover { whole_back, most_of_back, part_of_back };
[[nodiscard]] Cover cover_of(double stone_mm);

}  // namespace tonebath::science
