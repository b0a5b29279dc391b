// Inside of a fit: the model's input, its posterior, and which of the log's records each row is. For .cpp files of this
// layer only.
#pragma once

#include "app/course.hpp"
#include "app/learning.hpp"
#include "app/seal_shift.hpp"
#include "app/usual.hpp"
#include "science/tone_model.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

struct LearnedBath {
    BathHistory history;
    std::string lot_number;   // empty = not known
    std::size_t lot = 0;      // index in the model
};

// What one row of the model was made from.
struct RecordRef {
    std::string what;         // "strip 139"
    std::string scale;        // id
    int tone = 0;             // position
    RecordKind kind = RecordKind::judged;
    std::size_t bath = 0;     // of the last dip
    double seconds = 0.0;     // real, all dips
    double in_s = 0.0, out_s = 0.0;  // last dip, since make-up
    bool strip = false;
    Stamp judged_at;
};

// One kind of a logged circumstance, against the commonest kind, which has no level of its own.
struct FactorLevel {
    std::string kind;         // "water", "surface"
    std::string word;         // "rain"
    std::string against;      // "hard tap"
    std::size_t records = 0;  // that it holds for
};

class Learned {
public:
    science::ToneInput input;
    science::ToneFit fit;
    std::map<std::string, std::size_t> scale_index;  // by id
    std::map<std::string, std::size_t> lot_index;    // by id; "" = lots not known
    std::map<std::string, std::size_t> bath_index;   // by id
    std::vector<LearnedBath> baths;                  // as input.baths
    std::vector<RecordRef> records;                  // as input.subjects
    std::map<std::string, bool> scale_has_film;      // prior from film constants
    std::vector<FactorLevel> factors;                // as input.factor_sd
    std::map<std::string, std::string> factor_ground;  // the commonest word of each kind that is on record
    std::map<std::string, SealAim> seal_aims;        // of the targets told as after sealing, by id
    std::vector<UsualFigure> usual;                  // what it started from, for telling
    science::TonePriors priors;
    double kept_fade_evidence = 0.0, kept_tails_evidence = 0.0;  // log, of the last fit from nothing
    std::size_t refits = 0;                          // since the last fit from nothing
    bool from_before = false;                        // the fit went on from the one before it
};

// Belief about one logged circumstance, on log dose: above 0 it is faster than the commonest kind.
[[nodiscard]] std::vector<science::NormalPart> factor_belief(const Learned& learned, std::size_t level);

// Film thickness at which each tone after the first begins, where the words are those of the silver ladder; empty when no
// thickness can be given to the words (then the scale starts from the wide prior).
[[nodiscard]] std::vector<double> silver_borders_nm(const std::vector<std::string>& words);

}  // namespace tonebath::app
