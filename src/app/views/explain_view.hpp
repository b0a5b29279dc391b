// What the explainers found, as the pages show it: sizes as bars on one scale, and every word that stands beside them.
#pragma once

#include "app/explain.hpp"
#include "app/grade.hpp"
#include "model/piece.hpp"

#include <functional>
#include <string>
#include <vector>

namespace tonebath::app {

// "0.69 of the dose", "1.20 times the dose".
[[nodiscard]] std::string dose_words(double times);
// "0.4 of a tone lighter", "1.2 tones further".
[[nodiscard]] std::string off_words(double tones);

// Why one part came out otherwise than its mates. Sizes in tones; below 0 is lighter.
struct CauseBar {
    std::string name;      // "heat of the bath"
    std::string figures;   // "44.7 °C, mates 54.2 °C"; empty where it has none of its own
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

// One figure a bath, in order, with what shifted.
struct DriftMark {
    double x = 0.0;                      // the bath's number where all are numbers, else its place in order
    std::string name;                    // "bath 33, LS-3, 3 Feb 2026"
    double speed = 1.0, low = 1.0, high = 1.0;
    bool outside = false;
};
struct DriftStep {
    std::string label;                   // "A": on the chart and before its words
    double from_x = 0.0, to_x = 0.0;
    double from_speed = 1.0, to_speed = 1.0;  // equal for a step; a slide goes from one to the other
    std::string words;
};
struct DriftView {
    std::vector<DriftMark> marks;
    std::string x_name;                  // "bath" or "baths in order"
    double lower = 1.0, upper = 1.0;
    std::string limit_words;             // where the limits come from
    std::vector<DriftStep> steps;        // by when they begin
    std::vector<std::string> metals;     // batches whose metal is to be checked
    std::string words;                   // why there is no chart, or that nothing shifted
};
[[nodiscard]] DriftView drift_view(Studio& studio, const Learned& learned);

// Groups of pieces of one scale, as they look and at equal dose.
struct GroupBar {
    double tones = 0.0, low = 0.0, high = 0.0;  // low and high: 80 of 100; the same as tones where no range is told
    std::string words;                   // "0.4 of a tone further", "no difference"
    bool differs = false;
};
struct GroupRow {
    std::string head;                    // "AP against MK"
    std::string note;                    // "12 against 11 pieces"
    GroupBar raw, equal;
    std::string also;                    // what else differed between them, and what follows from it
};
struct GroupsView {
    std::string scale;                   // metal and surface compared
    std::vector<GroupRow> rows;
    double widest = 1.0;                 // tones
    std::string none;                    // why there is no row
    std::vector<std::string> batches;    // with judged pieces on this scale, newest number first
    std::vector<std::string> parts;
};
[[nodiscard]] GroupsView groups_view(Studio& studio, const Learned& learned, const CompareAsk& ask);

// How often the program kept its promise.
struct MarksRow {
    std::string what, when, bath, promised, became;
    std::string mark;                    // "inside", "outside", "may be either"
};
struct MarksView {
    long seen = 0, inside = 0;
    double low = 0.0, high = 1.0;        // of inside/seen, 95 of 100
    double promised = 0.0;
    std::string words, verdict;
    std::string not_counted;
    std::vector<MarksRow> rows;          // all outside, then the newest others
    std::size_t more = 0;                // left off
};
// Seconds; ends early once `wanted` says no.
[[nodiscard]] MarksView marks_view(Studio& studio, const Learned& learned, const std::function<bool()>& wanted);

}  // namespace tonebath::app
