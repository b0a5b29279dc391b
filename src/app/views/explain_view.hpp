// What the explainers found, as the pages show it: sizes as bars on one scale, and every word that stands beside them.
#pragma once

#include "app/explain.hpp"
#include "app/grade.hpp"
#include "model/piece.hpp"

#include <memory>
#include <string>
#include <vector>

namespace tonebath::app {

// Why one part came out otherwise than its mates. Sizes in tones; below 0 is lighter.
struct CauseBar {
    std::string name;      // "heat of the bath"
    std::string figures;   // "44.7 °C, its mates 54.2 °C"; empty where it has none of its own
    std::string dose;      // "0.69 of the dose"
    double tones = 0.0;
    bool named = false;    // a cause; else too small, or the wrong way
};
struct WhyPart {
    std::string head;      // "Why is the lid lighter than its batch?"
    std::string note;      // "against 17 mates of batch 22"
    std::string words;     // what was seen, and whether anything written down explains it
    bool differs = false;
    double seen_tones = 0.0;
    std::vector<CauseBar> causes;        // largest first; none where it does not differ
    std::string same;                    // "The same for all: agitation, the lot."; may be empty
    double left = 0.0, left_low = 0.0, left_high = 0.0;  // not explained, 80 of 100
    std::string left_words;
    double widest = 1.0;                 // tones that the longest bar or range reaches from the middle
    std::vector<std::string> beside;     // ask first; also different; not written down: one sentence each
};
struct WhyView {
    std::vector<WhyPart> parts;          // those that differ first
    std::string none;                    // why there is none
};
[[nodiscard]] WhyView why_view(Studio& studio, const Learned& learned, const Id<Piece>& piece);

}  // namespace tonebath::app
