// Judged parts with all that is written down of them, for the three explainers. For .cpp files of this layer only.
#pragma once

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
    double at(double x) const { return a + b * x + c * x * x; }
    double slope(double x) const { return b + 2.0 * c * x; }
    double held(double x) const;
};
// nullopt: fewer than 12 points or lightness that does not fall with dose. Points far off (3.5 robust sd) do not count.
[[nodiscard]] std::optional<LightnessCurve> lightness_curve(const std::vector<std::pair<double, double>>& points);

struct ExplainBook {
    std::vector<ExplainRecord> records;
    std::map<std::string, LightnessCurve> curves;  // by scale id
    std::map<std::string, std::string> scale_names;
    std::map<std::string, double> tone_step;       // mean log dose from one tone to the next, by scale id
};
// Where L* was measured and the curve is known, `seen` of the account is what the lightness says.
[[nodiscard]] ExplainBook explain_book(Studio& studio, const Learned& learned);

[[nodiscard]] std::string part_words(science::DosePart part);

}  // namespace tonebath::app
