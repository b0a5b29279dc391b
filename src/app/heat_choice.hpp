// Before a bath is made up: which heat and make-up bring the tone in a time that hands can keep, and how widely.
#pragma once

#include "app/plan.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

struct HeatAsk {
    Id<Bath> like;                        // its lot, vessel, room, water and way of moving are taken
    Id<ToneScale> scale_id;
    Id<Tone> tone_id;
};

// A fresh bath at this heat and make-up, the piece dropped at once.
struct HeatCell {
    double temp_c = 0.0;
    double make_up = 1.0;                 // against the lot's usual make-up
    std::optional<double> amount;         // in the lot's unit, for that bath's water; none where it is not known
    double out_s = 0.0;
    double low_s = 0.0, high_s = 0.0;     // aim range, 80 of 100
    double window_s = 0.0;                // from where the tone comes to where it has gone over; to twice that for a last tone
    double window_share = 0.0;            // of out_s
    double on_tone = 0.0;                 // chance that the piece lands on the tone, pulled within a hand's error of out_s
    bool practical = false;               // the whole aim range lies within 20 to 90 s
    bool beyond_tried = false;
};

struct HeatChoice {
    std::string tone;
    std::string unit;                     // of amounts: "g"
    std::vector<HeatCell> cells;          // by heat, then by make-up
    std::optional<std::size_t> best;      // practical, and most sure to land on the tone
    std::string words;                    // the choice in words, or why there is none
    std::vector<std::string> cautions;
    std::optional<Refusal> refusal;
};

// Refusals: "plan.no_such", "plan.no_scale", "plan.bare", "dose.not_of_kind".
[[nodiscard]] HeatChoice heat_choice(Studio& studio, const Learned& learned, const HeatAsk& ask);

}  // namespace tonebath::app
