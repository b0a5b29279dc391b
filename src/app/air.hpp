// The air of this room: the worst case of what stands on the bench, or the vapour of a coating evening, against limits
// that public bodies set. One figure for the whole room; every assumption and every source goes with it.
#pragma once

#include "base/result.hpp"
#include "model/room.hpp"
#include "science/air.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// One row of data/air_limits.csv, or a limit that the studio typed in.
struct AirLimit {
    std::string substance, body, kind;
    double ppm = 0.0;
    std::optional<double> average_min;  // unknown = at any time
    std::string year, source, trust;    // trust: read, second-hand, memory, doubtful; "typed in here"
    bool context = false;               // drawn, never the limit
    // "ceiling over 10 min, NIOSH REL before 2019, read".
    [[nodiscard]] std::string words() const;
};
// One row of data/solvents.csv.
struct Solvent {
    std::string name;
    double molar_g_per_mol = 0.0;
    double density_g_per_ml = 0.0;
    double lel_percent = 0.0;  // lower explosive limit, volume percent of air
    double flash_c = 0.0;
};
// Strict: a fault is refused with file and line.
[[nodiscard]] Result<std::vector<AirLimit>> read_air_limits(const std::filesystem::path& file);
// Those of the program, and below them the studio's own that it still holds.
[[nodiscard]] Result<std::vector<AirLimit>> air_limits(Studio& studio);
[[nodiscard]] Result<std::vector<Solvent>> read_solvents(const std::filesystem::path& file);

// What a figure is held against: like with like.
enum class AirCase { sudden, sitting };
// The lowest limit of this substance for that length of time whose trust is read or second-hand, or that was typed in here;
// of equals the read one first. nullptr when there is none: then nothing is compared.
[[nodiscard]] const AirLimit* limit_for(const std::vector<AirLimit>& limits, std::string_view substance, AirCase what);

struct AirFact {
    std::string what;
    std::string how;  // worst, room, assumed, memory …
};
struct AirAsk {
    // Gas from a sulfide: grams and what it is taken as; or vapour: a solvent, ml and minutes; or what a meter showed.
    std::optional<science::Sulfide> sulfide;
    std::optional<double> grams;
    std::vector<AirFact> reckoned;     // how those grams were reckoned, told first
    std::optional<double> sitting_h;   // the gas comes off evenly over so long (0.1 to 8); unknown = at once
    std::string solvent;
    std::optional<double> liquid_ml;
    double evening_min = 45.0;  // over which the solvent dries
    std::optional<double> measured_ppm;  // hydrogen sulfide, above 0
    // The room.
    std::optional<double> room_m3;
    std::optional<double> flow_m3_h;
    AirKnown flow_known = AirKnown::assumed;
    double still_per_h = 0.3;  // fan off and windows shut; assumed where the room does not say
    bool still_known = false;
    double mixing = 3.0;  // the worst that is taken; the best is 1
    bool mixing_known = false;
    double temp_c = 20.0;
    double down_to_ppm = 1.0;
};
// Names: "K2S", "K2S3", "K2S5", "KHS", "Na2S", "(NH4)2S"; nullopt for others.
[[nodiscard]] std::optional<science::Sulfide> sulfide_called(std::string_view name);
[[nodiscard]] std::string_view formula_of(science::Sulfide solid);

struct AirPoint {
    double min = 0.0;
    double ppm = 0.0;
};
struct AirAnswer {
    std::string substance;
    AirCase what = AirCase::sudden;
    bool measured = false;
    double ppm = 0.0, mg_m3 = 0.0, litres = 0.0;  // at once; of an evening or a sitting: the highest, fan off
    double ppm_at_25_c = 0.0;                     // the same in the American way
    std::optional<double> highest_fan_ppm;        // of an evening or a sitting, fan on, poorly mixed
    std::optional<double> mean_ppm, mean_fan_ppm; // the same over eight hours, fan off; fan on, poorly mixed
    std::optional<double> lel_percent;            // share of the lower explosive limit, percent, fan off
    std::vector<AirLimit> limits;                 // all that are drawn
    std::optional<AirLimit> used;                 // that the highest is held against
    std::optional<AirLimit> used_mean;            // that the mean over eight hours is held against
    std::optional<double> air_changes;
    std::optional<double> purge_long_min, purge_short_min, purge_still_min;  // fan on worst mixed, well mixed, fan off
    std::vector<AirPoint> still, fan_poor, fan_well;
    std::vector<AirFact> facts;
    std::vector<std::string> sources;
    std::string at_vessel;  // the sentence that always stands beside it
    std::string decides;
};
// Refusals: "air.no_room", "room.too_small", "air.no_strength" (a gel's or a liquid's grams), "air.no_solvent",
// "air.out_of_range", "air.no_figure".
[[nodiscard]] Result<AirAnswer> air_of(const AirAsk& ask, const std::vector<AirLimit>& limits,
                                       const std::vector<Solvent>& solvents);

void take_room(AirAsk& ask, const Room& room);
struct BenchSulfide {
    std::string bath;   // its number
    std::string words;  // "2.0 g of LS-2, dry lump"
    std::optional<science::Sulfide> sulfide;
    std::optional<double> grams;     // of the sulfide itself
    std::vector<AirFact> reckoned;   // "at most 40 % by its sheet of 12 Jan 2026"
    std::string why_not;  // "strength not stated on the sheet"
};
// The newest bath in use that is a sulfide bath, with its top-ups. Dry lump counts whole; a gel or a liquid by the highest
// percentage on the safety sheet that was read here, else there is no figure.
[[nodiscard]] std::optional<BenchSulfide> sulfide_on_bench(Studio& studio);

}  // namespace tonebath::app
