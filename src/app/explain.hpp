// Why a piece differs from its mates, how groups compare at equal dose, and how baths drifted over weeks: each recorded
// difference sized through what was learned. Nothing is blamed that the records do not show.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"
#include "base/result.hpp"
#include "base/text.hpp"
#include "model/piece.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Learned;
class Studio;

// One recorded difference of a piece from the mean of its mates.
struct WhyRow {
    std::string name;      // "heat of the bath"
    double log_dose = 0.0; // this piece minus its mates: 0.1 is a tenth more dose
    double tones = 0.0;    // the same in steps of its scale
    double share = 0.0;    // of the difference seen
    bool named = false;    // large enough, in the right direction, and part of an explanation
    // 80 % of log_dose; of heat alone: what is known of its effect on this metal. The same as log_dose for all else.
    double log_low = 0.0;
    double log_high = 0.0;
};

struct WhyAnswer {
    std::string piece;
    std::string part;                 // empty for a piece of one part
    std::string batch;
    std::size_t mates = 0;
    std::string what;                 // the record compared, as the fit names it: "L-058 lid"
    std::vector<std::string> mate_records;  // those of its mates that count
    double seen_log = 0.0;            // difference seen, on log dose
    double seen_tones = 0.0;          // above 0: further along the scale than its mates
    std::optional<double> seen_l;     // measured L*, this piece minus its mates
    bool differs = false;             // beyond scatter and reading
    bool one_sided = false;           // at an end of the scale: at least so much
    std::vector<WhyRow> rows;         // largest first
    double unexplained_log = 0.0;
    double unexplained_tones = 0.0;
    double unexplained_low = 0.0;     // tones, 80 %
    double unexplained_high = 0.0;
    bool nothing_recorded_explains = false;
    std::vector<std::string> also_differs;  // written down, not sized by the model: "degreased: not ticked, its mates: yes"
    std::vector<std::string> not_written;   // not known of it or of a mate: never counted as equal
    std::vector<std::string> doubtful;      // "a time typed from memory: 300 s"
    std::string words;                      // one line that says it all
};
// One answer for each part that was judged before relief and has at least two judged mates (same batch, part and scale).
[[nodiscard]] std::vector<WhyAnswer> why_different(Studio& studio, const Learned& learned, const Id<Piece>& piece);

// A batch whose one part takes the tone otherwise than the same part of other batches at equal dose, while its other
// parts do not: the metal is another than was written down.
struct MetalDoubt {
    std::string batch;
    std::string part;
    std::string design;
    std::string written_as;
    std::size_t pieces = 0;
    std::size_t other_batches = 0;
    double lighter_l = 0.0;  // L* above what its dose gives in the other batches, reckoned on the mean curve
    double other_parts_l = 0.0;
    std::string words;
};
[[nodiscard]] std::vector<MetalDoubt> metal_doubts(Studio& studio, const Learned& learned);

enum class CompareBy { who, lot, batch, rack };
struct CompareAsk {
    CompareBy by = CompareBy::who;
    std::string batch;  // number; empty = all
    std::string part;   // name; empty = all
    std::string scale;  // metal; empty = the one with most records
};
struct CompareRow {
    std::string first;  // the group
    std::string second; // against
    std::size_t first_pieces = 0;
    std::size_t second_pieces = 0;
    double raw_tones = 0.0;          // first minus second, above 0: further along
    double equal_dose_tones = 0.0;
    double equal_dose_se_tones = 0.0;
    std::optional<double> raw_l;     // measured L*, first minus second: below 0 is darker
    std::optional<double> equal_dose_l;
    double dose_ratio = 1.0;         // mean dose by time, heat, strength, fade and agitation; first over second
    double dose_low = 1.0;           // 80 %, by what is known of the effect of heat on this metal
    double dose_high = 1.0;
    bool raw_differs = false;
    bool equal_dose_differs = false;
    bool no_common_bath = false;     // bath and group cannot be told apart
    std::vector<std::string> confounded;  // what else differs: "heat of the bath"
    std::string words;
};
struct Comparison {
    std::string scale;  // metal and surface
    std::vector<CompareRow> rows;
    std::string words;  // why there is none
};
// Each group against the largest other one; groups of fewer than two judged pieces are passed over.
[[nodiscard]] Comparison compare_groups(Studio& studio, const Learned& learned, const CompareAsk& ask);

struct DriftPoint {
    std::string bath;
    std::string lot;
    Stamp at;
    double speed = 1.0;  // times what make-up, age and heat should give; 1 = the mean of the first 20 baths
    double low = 1.0;    // 80 %
    double high = 1.0;
    bool outside = false;
};
enum class DriftCause { lot, thermometer, water, additive, shared, cannot_tell };
struct DriftShift {
    DriftCause cause = DriftCause::cannot_tell;
    std::string lot;             // for lot
    std::string from_bath;
    Stamp from;
    std::string to_bath;         // last bath in it; empty = it goes on
    bool slow = false;           // a slide, not a step
    double ratio = 1.0;          // speed after over before (of a slide: up to the last bath)
    double ratio_low = 1.0;      // 80 %
    double ratio_high = 1.0;
    std::optional<double> half_life_days;
    std::string words;
};
struct Drift {
    std::vector<DriftPoint> points;
    double lower = 1.0;  // natural limits from the first 20 baths (all, where `trial`)
    double upper = 1.0;
    bool trial = false;
    std::vector<DriftShift> shifts;
    std::vector<MetalDoubt> metals;
    std::string words;
};
[[nodiscard]] Drift drift(Studio& studio, const Learned& learned);

}  // namespace tonebath::app

namespace tonebath {

template <>
struct EnumWords<app::CompareBy> {
    static constexpr std::array<std::string_view, 4> words{"who", "lot", "batch", "rack"};
};

}  // namespace tonebath
