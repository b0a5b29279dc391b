// How long, now: the out-time for a tone in a bath, with how sure it is and what it rests on.
#pragma once

#include "app/learning.hpp"
#include "app/subject.hpp"
#include "model/bath.hpp"
#include "model/dip.hpp"
#include "model/tone.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct PlanRequest {
    Id<Bath> bath_id;
    Id<ToneScale> scale_id;
    Id<Tone> tone_id;
    std::optional<Stamp> drop_at;           // default: now
    std::optional<Agitation> agitation;     // default: the bath's
    std::optional<double> temp_c;           // what if: the bath at this when it is dropped, cooling from there
    double dose_done_s = 0.0;               // dose the piece already had, s at 60 °C fresh
    bool as_it_comes = false;               // aim where the tone begins instead of at its middle
    std::optional<Id<Target>> target_id;    // the target that names the tone; without it the subject's own, if that is its tone
    std::optional<Subject> subject;         // what is dipped: its surface and preparation count; without it as most records
    std::optional<double> room_c;           // what if: the room at this from now on, or from the drop where that was before
};

// One cause of the aim range and how much of it: "where blue begins", "this bath", "temperature".
struct RangeShare {
    std::string cause;
    double percent = 0.0;                   // ± share of the time that it alone would leave
};

// "Your strips alone": plain two-point or straight-line law from the watched and judged strips, no priors.
// Its time is that at which the tone comes, because that is when a watched strip is pulled.
struct AloneLine {
    std::optional<double> out_s, low_s, high_s;
    std::string words;                      // where it comes from, or why there is none
    std::optional<double> times_per_10_c;   // how much faster when 10 °C hotter
    std::optional<double> ea_kj_per_mol;
    bool by_age = false;                    // from the line of strength by age, at one heat
};

struct Plan {
    // Seconds in the bath from the drop. All unknown when `refusal` says why there is no time to give.
    std::optional<double> out_s;            // middle: half of such dips would have reached the middle of the tone
    std::optional<double> aim_low_s, aim_high_s;   // 80 % range for the aim
    std::optional<double> comes_s;          // when the tone should just have come: where a watched strip is pulled
    std::optional<double> look_s;           // look from here
    std::optional<double> dose_s;           // equal to this many s at 60 °C, fresh
    std::optional<double> over_chance;      // 0..1: this piece goes past the tone at out_s
    std::string lands_from, lands_to;       // tones between which this piece may land (80 %)
    double lands_from_place = 0.0, lands_to_place = 0.0;  // the same as places on the scale: tone position + fraction
    std::vector<RangeShare> shares;         // largest first
    AloneLine alone;
    std::string agree_words;                // whether the two lines agree within 5 %, or why not
    std::vector<std::string> rests_on;      // "6 strips in LS-2", "2 readings in bath 46", "published prior only: dip a strip first"
    std::vector<std::string> counts_in;     // "surface satin, 9 % longer than bright (6 records)": what is written of this piece
    std::vector<std::string> cautions;      // beyond the tried range, reading 25 min old, room not written down …
    std::string strip_words;                // what one more strip would gain; or when no strip helps
    std::optional<double> strip_at_s;       // dip it for this long
    std::optional<double> strip_low_s, strip_high_s;  // the aim range it would leave
    std::optional<Refusal> refusal;
};

// Baths in use of a finish that has a dose, newest first: those that a time can be told for.
[[nodiscard]] std::vector<Bath> baths_to_plan(Studio& studio, std::size_t limit = 20);

[[nodiscard]] Plan plan(Studio& studio, const Learned& learned, const PlanRequest& request);

}  // namespace tonebath::app
