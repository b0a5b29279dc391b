// An order wanted again: today's time for the dose that was stored, what is no longer as it was then, and the strips
// that find the tone again. The seconds of then are shown beside it and never used.
#pragma once

#include "app/learning.hpp"
#include "model/bath.hpp"
#include "model/tone.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Studio;

struct RepeatAsk {
    std::string number;               // of an order, or of a piece
    std::optional<Id<Bath>> bath_id;  // default: the newest in use
    std::optional<double> dose_s;     // typed: so many s at dose_temp_c, fresh; stands before what is stored
    double dose_temp_c = 60.0;
};

enum class Likeness { same, changed, not_known };

// One thing that bears on the tone, then and now. Empty = not written down.
struct RepeatChange {
    std::string what;       // "lot", "vessel", "thermometer", "cup, source of the metal"
    std::string then, now;  // "LS-1", "LS-2"
    Likeness likeness = Likeness::not_known;
};

enum class DoseFrom { nowhere, typed, target, records };

struct RepeatOrder {
    std::string number;      // "R-07", as asked
    std::string pattern;     // what is repeated: "order R-07", "L-058"
    std::size_t pieces = 0;  // of the pattern
    Id<ToneScale> scale_id;
    Id<Tone> tone_id;
    std::string tone;        // word
    std::string target;      // name; empty = none written down
    std::string keep_words;  // what it is held against, and how near is near enough
    std::optional<double> tolerance_steps;
    std::string keep_piece;

    DoseFrom dose_from = DoseFrom::nowhere;
    std::optional<double> dose_s;  // at 60 °C, fresh
    std::string dose_words;        // where it comes from, or why there is none
    std::optional<double> then_s;  // middle of the pieces' real seconds then
    std::string then_words;        // "34 s in bath 1, 1 Oct 2025": not to be copied

    std::string bath;                            // number; empty = none in use
    std::optional<double> out_s, low_s, high_s;  // today, with the 80 % range; none without a dose
    std::optional<Refusal> no_time;              // why there is none
    std::vector<RepeatChange> changes;
    std::vector<double> strips_s;  // dip these first
    std::string strip_words;
    std::vector<std::string> cautions;
};

// "the same", "changed", "not known".
[[nodiscard]] std::string_view word_of(Likeness likeness);
// What is repeated and for how long, in sentences, one a line: dose, today, then, strips, what it is held against, cautions.
[[nodiscard]] std::vector<std::string> repeat_words(const RepeatOrder& order);
// "lot: LS-1, now LS-2"; what is the same only once.
[[nodiscard]] std::string then_and_now(const RepeatChange& change);
// All of it in lines: "tonebath repeat R-07".
[[nodiscard]] std::string repeat_text(const RepeatOrder& order);

// Refusals: "repeat.unknown" (neither an order nor a piece), "repeat.no_tone" (no target, and no tone was judged),
// "repeat.bad_dose".
[[nodiscard]] Result<RepeatOrder> repeat_order(Studio& studio, const Learned& learned, const RepeatAsk& ask);

}  // namespace tonebath::app
