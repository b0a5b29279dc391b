// Judged parts with all that is written down of them, for the three explainers. For .cpp files of this layer only.
#pragma once

#include "app/explain.hpp"
#include "app/learned.hpp"
#include "science/tone_account.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

struct ExplainRecord {
    std::size_t subject = 0;
    bool strip = false;
    std::string piece;       // number
    std::string piece_id;
    std::string part;        // empty for a piece judged as one
    std::string metal;       // as written
    std::string surface;
    std::string design;
    std::string batch;       // number
    std::string rack;
    std::string who;         // at the bench for its last dip
    std::string lot;
    std::string degreased;   // yes, no; empty = not known
    std::vector<std::string> doubtful;
    std::optional<double> l; // measured, before relief
    science::ToneAccount account;
};

// Lightness against dose, learned from all measured records of one scale: L* = a + b x + c x^2, x = log dose expected.
struct LightnessCurve {
    double a = 0.0, b = 0.0, c = 0.0;
    double low = 0.0, high = 0.0;  // x tried
    double sd = 1.0;               // L*, robust
    double within_sd = 1.0;        // L*, robust, of pieces that went through the same baths together
    std::size_t points = 0;
    static constexpr double kLeastSd = 0.5;  // ours: no reading of L* is surer
    double at(double x) const { return a + b * x + c * x * x; }
    double slope(double x) const { return b + 2.0 * c * x; }
    double held(double x) const;
    // Dose that has this lightness, held within what was tried.
    double dose_of(double l) const;
    // The same beyond it: palest first tones come in proportion to dose, down to bare metal at no dose (as thin films do);
    // at the dark end in a straight line.
    double at_beyond(double x) const;
    double dose_beyond(double l) const;
};
// nullopt: fewer than 12 points or lightness that does not fall with dose. Points far off (3.5 robust sd) do not count.
[[nodiscard]] std::optional<LightnessCurve> lightness_curve(const std::vector<std::pair<double, double>>& points);

// Effect of heat on one metal's records. The model learns one for all metals; what those of this metal that went through
// the same baths together say against it moves it, as far as they are sure.
struct MetalHeat {
    double ea_kj_per_mol = 0.0;
    double sd = 0.0;  // kJ/mol
};

// Pairs of values by what they have in common.
struct Pair {
    double x = 0.0;
    double y = 0.0;
    double weight = 1.0;
    bool used = true;
};
using Groups = std::map<std::string, std::vector<Pair>>;
// Robust sd of y - slope x about the means of their groups, which are taken off x and y; nullopt: fewer than 12 values.
[[nodiscard]] std::optional<double> spread_within(Groups& groups, double slope);
// Slope of y on x inside the groups, in log dose by kJ/mol, drawn towards 0 by its prior; records far off do not count.
[[nodiscard]] std::optional<MetalHeat> slope_within(Groups groups);

struct ExplainBook {
    std::vector<ExplainRecord> records;
    std::map<std::string, LightnessCurve> curves;  // by scale id
    std::map<std::string, MetalHeat> heats;        // by scale id, where at least 12 records tell
    double all_metals_heat_sd = 0.0;               // kJ/mol
    std::map<std::string, std::string> scale_names;
    std::map<std::string, double> tone_step;       // mean log dose from one tone to the next, by scale id
};
// Where L* was measured and the curve is known, `seen` of the account is what the lightness says.
[[nodiscard]] ExplainBook explain_book(Studio& studio, const Learned& learned);

// The answers of explain.hpp from a book that is at hand, for who asks of many pieces.
[[nodiscard]] std::vector<WhyAnswer> why_different(const ExplainBook& book, const Learned& learned, const Id<Piece>& piece);

using Group = std::vector<const ExplainRecord*>;
[[nodiscard]] std::vector<science::ToneAccount> accounts_of(const Group& group);
// One that stands out of its group itself does not say what is usual in it.
void leave_out_odd(Group& group);

// Log speed of a bath against what make-up, age and heat should give: what its strips say, or its pieces where it has none.
struct BathPace {
    double log_speed = 0.0;
    double sd = 0.0;
    bool strips = false;
};
// By bath of `learned`; nothing where no record tells.
[[nodiscard]] std::vector<std::optional<BathPace>> bath_paces(const ExplainBook& book, const Learned& learned);

// How well a difference in heat is known, sd of log dose; `per_kj` is the difference of heat_per_kj.
[[nodiscard]] double heat_sd(const ExplainBook& book, const std::string& scale, double per_kj);

[[nodiscard]] std::string part_words(science::DosePart part);

}  // namespace tonebath::app
