// Plans beyond one dip as a page shows them: words, and a table of words below them.
#pragma once

#include "app/learning.hpp"
#include "app/rescue.hpp"
#include "model/piece.hpp"
#include "model/tone.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

struct PlanningRow {
    std::string id;
    std::vector<std::string> cells;    // as many as heads
    bool strong = false;               // the one recommended, or as it really was
};

struct PlanningView {
    std::string head;
    std::string note;                  // beside the head
    std::vector<std::string> words;    // above the table; or why there is none
    std::vector<std::string> columns;
    std::vector<PlanningRow> rows;
};

// A batch of so many pieces to one tone, in the newest bath in use, from now.
[[nodiscard]] PlanningView batch_view(Studio& studio, const std::shared_ptr<const Learned>& learned, const Id<ToneScale>& scale, const Id<Tone>& tone,
                                      std::size_t pieces);
// Heat and make-up of the next bath like the newest in use.
[[nodiscard]] PlanningView next_bath_view(Studio& studio, const std::shared_ptr<const Learned>& learned, const Id<ToneScale>& scale, const Id<Tone>& tone);

// A piece's last dip stood over again at other times, for a slider: what it would have become at each stop of it.
struct MatchedStop {
    double seconds = 0.0;
    double place = 0.0, low = 0.0, high = 0.0;  // tone + share of the way through it; 80 of 100
    std::string words;                 // "gold", "gold to amber"
};
struct MatchedView {
    std::string head;                  // "L-058 lid, bath 30"
    std::string scale;                 // id
    std::vector<MatchedStop> stops;    // rising seconds, the actual one among them; empty: `none` says why
    std::size_t actual = 0;            // the stop that was
    std::string actual_words;          // "4.7 s, and it became amber"
    PlanningView table;                // each tone's own time
    std::string none;
};
[[nodiscard]] MatchedView matched_view(Studio& studio, const Learned& learned, const Id<Piece>& piece);

// What can still be done with a piece, as a list: open ways first.
struct RescueRow {
    std::string name;
    RescueState state = RescueState::open;
    std::string state_word;            // "with care"
    std::vector<std::string> words;    // why, how, what to mind
    std::string source;                // "Source: common practice, no source"
};
struct RescueView {
    std::string note;                  // beside the head
    std::vector<std::string> words;    // what the piece is, what to ask first, what was done again; or why there is no list
    std::vector<RescueRow> rows;
};
[[nodiscard]] RescueView rescue_view(Studio& studio, const Id<Piece>& piece);

}  // namespace tonebath::app
