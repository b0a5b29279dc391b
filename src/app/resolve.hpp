// From what a person typed to the record that is meant, and back to its name.
#pragma once

#include "app/label_number.hpp"
#include "base/ids.hpp"
#include "base/result.hpp"
#include "model/bath.hpp"
#include "model/piece.hpp"
#include "model/tone.hpp"

#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

namespace tonebath::app {

class Studio;

template <class Noun>
inline constexpr bool kHasLabel = std::is_same_v<Noun, Bath> || std::is_same_v<Noun, Piece>;

// Defined for every noun but answers of checks and presses (explicit instantiations in resolve.cpp).
template <class Noun>
struct Called {
    static Result<Noun> resolve(Studio& studio, std::string_view field, std::string_view typed);
    static std::string name(Studio& studio, const Noun& record);
    static std::string name(Studio& studio, const Id<Noun>& id);
};

// By number or name, capitals and accents aside, with or without the noun before it ("bath 46"); by id.
//   part       "L-058 lid", "L-058: lid"; the piece's number alone where it has one part
//   tone scale "sterling", "sterling, satin"
//   tone       "sterling: blue"
//   dip        "L-131/2", the second dip of that piece, part or strip; "L-131" its newest
//   the rest   "46/3", the third reading of bath 46; likewise top-ups, rinses, judgements, preparations and after-work
//   of
//              a piece, strip, part or batch, weighings of a lot, checks of a thermometer, disposals and checks of a
//              bath
// Refusal "<noun>.unknown" with near names as answers, "<noun>.none_yet" when there is none at all.
// What carries labels may be typed as they have it, "L-131+K"; refusal "number.check_wrong".
template <class Noun>
[[nodiscard]] Result<Noun> resolve(Studio& studio, std::string_view field, std::string_view typed) {
    Result<Noun> found = Called<Noun>::resolve(studio, field, typed);
    if constexpr (kHasLabel<Noun>) {
        if (!found && has_check(typed)) {
            const Result<std::string> number = number_of_label(Noun::kTable, field, typed);
            return number ? Called<Noun>::resolve(studio, field, *number) : Result<Noun>(number.error());
        }
    }
    return found;
}

// What people call it: "46", "L-058 lid", "sterling: blue", "46/3". A record without any name: its id.
template <class Noun>
[[nodiscard]] std::string name_of(Studio& studio, const Noun& record) {
    return Called<Noun>::name(studio, record);
}
template <class Noun>
[[nodiscard]] std::string name_of(Studio& studio, const Id<Noun>& id) {
    return Called<Noun>::name(studio, id);
}

// The scale for this metal and surface: its own, else the one for every surface of the metal.
[[nodiscard]] std::optional<ToneScale> scale_for(Studio& studio, const Id<Metal>& metal, std::string_view surface);
// In order of growth.
[[nodiscard]] std::vector<Tone> tones_of(Studio& studio, const Id<ToneScale>& scale);
[[nodiscard]] std::vector<std::string> words_of(const std::vector<Tone>& tones);
// The tone with this word on this scale; refusal "tone.not_on_scale".
[[nodiscard]] Result<Tone> tone_on(Studio& studio, const ToneScale& scale, std::string_view field,
                                   std::string_view typed);

}  // namespace tonebath::app
