// Tones: words of a scale, judgements held against the scale and against the log, measured colours.
#pragma once

#include "model/dip.hpp"
#include "model/rules/rule.hpp"

#include <span>

namespace tonebath::rules {

// A word that the scale of this metal does not have: "tone.not_on_scale"; the scale's words are the answers.
[[nodiscard]] Refusal not_on_scale(const Typed& typed, std::string_view metal, const std::vector<std::string>& words);

// A judged dip of the same scale in the same bath.
struct JudgedDip {
    std::string what;  // "strip 12"
    std::string tone_word;
    int tone_position = 0;
    Stamp dropped;
    Seconds in_bath = Seconds::from_seconds(0.0);
};

// Darker is further along the scale. A judgement that stands lighter after clearly longer in the same bath, or darker
// after clearly shorter, is asked about ("tone.inverted"): 1.3 times the time or more, and not dropped more than 30 min
// later, when the bath may have cooled and faded (our cut-offs).
[[nodiscard]] Question inversion(const Typed& typed, const JudgedDip& mine, std::span<const JudgedDip> others);
// The same surface judged lighter than before, with no rub-back between: "tone.lighter_again".
[[nodiscard]] Question lighter_than_before(const Typed& typed, int position, std::optional<int> before_position,
                                           std::string_view before_word);
// Nothing grows past the ceiling: "gone over" the last tone is refused, "lighter than" bare metal too.
[[nodiscard]] Question sense_fits(const Typed& typed, Sense sense, const Tone& tone, int last_position);

// A word for a tone: not empty, at most 40 bytes, not on the scale yet ("tone.word_taken").
[[nodiscard]] Question tone_word(const Typed& typed, const std::vector<std::string>& words);
// A tone can only stand before the ceiling: "tone.after_ceiling".
[[nodiscard]] Question below_ceiling(const Typed& typed, const Tone& after);
// L* 0 to 100, a* and b* -128 to 128; all three or none ("tone.lab_incomplete").
[[nodiscard]] Question lab(const Typed& typed, std::optional<double> l, std::optional<double> a,
                           std::optional<double> b);
// Place inside a tone, 0 to 1.
[[nodiscard]] Question fraction(const Typed& typed, double value);

}  // namespace tonebath::rules
