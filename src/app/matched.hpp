// What would have matched? A dipped piece stood over again at other times: each tone's time in its last dip, backwards
// from what it really became.
#pragma once

#include "app/learning.hpp"
#include "app/subject.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

// In its last dip, all before it left as it was: seconds in the bath.
struct MatchedTone {
    int tone = 0;                      // position
    std::string word;
    std::optional<double> comes_s;     // from here it would have been this tone; 0 where it was before the dip
    std::optional<double> middle_s;    // in its middle
    bool actual = false;
};

struct Matched {
    std::string what;                  // "L-058", "strip 12"
    std::string bath;                  // number
    std::string scale;                 // id
    int tone = 0;                      // judged
    double place = 0.0;                // tone + share of the way through it
    double place_low = 0.0;            // 80 of 100: where in its tone it was is not known when only the tone was judged
    double place_high = 0.0;
    double actual_s = 0.0;             // its last dip
    double dose_s = 0.0;               // of that dip, with this bath's speed
    double dose_before_s = 0.0;        // of its dips before
    std::vector<MatchedTone> tones;    // by position
    std::vector<std::string> assumed;
    // Law, course and borders as they stood: for the two functions below.
    science::BathCourse course;
    science::RateLaw law;
    double in_s = 0.0;                 // of the last dip, since make-up
    double log_shift = 0.0;            // this piece against the usual, on log dose
    std::vector<double> begins_s;      // dose at which each tone begins; the first 0
};

// Place on the scale had the last dip been so long; nullopt where no dose comes of it.
[[nodiscard]] std::optional<double> place_after(const Matched& matched, double seconds);
// The same with its range: the piece stood somewhere from place_low to place_high, and so it would have at other times.
struct MatchedPlace {
    double middle = 0.0, low = 0.0, high = 0.0;
};
[[nodiscard]] std::optional<MatchedPlace> place_range_after(const Matched& matched, double seconds);
// And back: seconds of the last dip for a place on the scale. 0 where the piece was further before it. nullopt: never.
[[nodiscard]] std::optional<double> seconds_for(const Matched& matched, double place);

// Refusals: "matched.no_dip" (none, one still in the bath, or one without a time), "matched.not_judged",
// "matched.no_temperature", "matched.ceiling" (at the end of the scale more time adds nothing: nothing to reckon back from).
[[nodiscard]] Result<Matched> what_would_have_matched(Studio& studio, const Learned& learned, const Subject& subject);
// A piece, a part or a strip by the number typed.
[[nodiscard]] Result<Subject> dipped_subject(Studio& studio, const std::string& typed);

}  // namespace tonebath::app
