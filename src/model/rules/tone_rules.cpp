#include "model/rules/tone_rules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::rules {

namespace {

constexpr double kClearlyLonger = 1.3;
constexpr double kSameState_s = 1800.0;

}  // namespace

Refusal not_on_scale(const Typed& typed, std::string_view metal, const std::vector<std::string>& words) {
    return refuse("tone.not_on_scale", typed, fmt::format("{} has no such tone on its scale here.", metal),
                  words.empty() ? std::string("Make a scale for this metal first.")
                                : fmt::format("Choose one of {}, or add the tone to the scale.", in_a_row(words)),
                  words);
}

Question inversion(const Typed& typed, const JudgedDip& mine, std::span<const JudgedDip> others) {
    for (const JudgedDip& other : others) {
        const bool i_am_longer = mine.in_bath.seconds() > other.in_bath.seconds();
        const JudgedDip& longer = i_am_longer ? mine : other;
        const JudgedDip& shorter = i_am_longer ? other : mine;
        if (longer.in_bath.seconds() < kClearlyLonger * shorter.in_bath.seconds() ||
            longer.tone_position >= shorter.tone_position ||
            seconds_between(shorter.dropped, longer.dropped) > kSameState_s) {
            continue;
        }
        return ask("tone.inverted", typed,
                   fmt::format("{} was in the same bath for {} and came out {}; this was in for {}: {} after longer?",
                               other.what, text_of(other.in_bath), other.tone_word, text_of(mine.in_bath),
                               i_am_longer ? "lighter" : "is the other darker"),
                   fmt::format("Look at both again, check the two times, or keep it."));
    }
    return std::nullopt;
}

Question lighter_than_before(const Typed& typed, int position, std::optional<int> before_position,
                             std::string_view before_word) {
    if (!before_position || position >= *before_position) {
        return std::nullopt;
    }
    return ask("tone.lighter_again", typed,
               fmt::format("it was judged {} before, and a film does not go back by itself.", before_word),
               "Was it rubbed back? Write that down first, look again, or keep it.");
}

Question sense_fits(const Typed& typed, Sense sense, const Tone& tone, int last_position) {
    if (sense == Sense::gone_over && (tone.ceiling || tone.position >= last_position)) {
        return refuse("tone.past_ceiling", typed,
                      fmt::format("nothing comes after {}: more time adds nothing.", tone.word),
                      fmt::format("Say that it is {}.", tone.word), {std::string("is")});
    }
    if (sense == Sense::lighter_than && tone.position <= 0) {
        return refuse("tone.before_bare", typed, fmt::format("nothing comes before {}.", tone.word),
                      fmt::format("Say that it is {}.", tone.word), {std::string("is")});
    }
    return std::nullopt;
}

Question tone_word(const Typed& typed, const std::vector<std::string>& words) {
    const std::string_view word = trimmed(typed.text);
    if (word.empty()) {
        return refuse("tone.no_word", typed, "a tone needs a word.", "Type one, for example \"straw\".");
    }
    if (Question odd = plain_text(typed, 40)) {
        return odd;
    }
    const bool taken = std::any_of(words.begin(), words.end(),
                                   [&](const std::string& other) { return folded(other) == folded(word); });
    if (taken) {
        return refuse("tone.word_taken", typed, "the scale has that word already.", "Choose another word.");
    }
    return std::nullopt;
}

Question below_ceiling(const Typed& typed, const Tone& after) {
    if (!after.ceiling) {
        return std::nullopt;
    }
    return refuse("tone.after_ceiling", typed, fmt::format("{} is the ceiling: more time adds nothing.", after.word),
                  "Choose a tone before it.");
}

Question lab(const Typed& typed, std::optional<double> l, std::optional<double> a, std::optional<double> b) {
    if (!l && !a && !b) {
        return std::nullopt;
    }
    if (!l || !a || !b) {
        return refuse("tone.lab_incomplete", typed, "a measured colour is three numbers: L*, a* and b*.",
                      "Type all three, or none.");
    }
    if (*l < 0.0 || *l > 100.0 || std::abs(*a) > 128.0 || std::abs(*b) > 128.0) {
        return refuse("tone.lab_range", typed, "L* goes from 0 to 100, a* and b* from -128 to 128.",
                      "Type them again.");
    }
    return std::nullopt;
}

Question fraction(const Typed& typed, double value) {
    return between(typed, value, 0.0, 1.0, "");
}

}  // namespace tonebath::rules
