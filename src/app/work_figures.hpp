// What pieces take: minutes by what they went into, with the set-up of a bath or of a whole batch spread over its pieces; what
// mistakes cost. Money is the studio's own: an hour of work, the metal of a piece, a stone.
//
// Sums alone, no model: 40 min of set-up over 24 pieces are 40/24 = 1.67 min each. What counts as set-up, as one sitting and as
// rework is ours and is said with the figures.
#pragma once

#include "base/clock.hpp"
#include "base/result.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// In the studio's own money; unknown where it was not said.
struct WorkRates {
    std::optional<double> hour, piece, stone;  // above 0
};
[[nodiscard]] WorkRates work_rates(Studio& studio);
// Each as typed; an empty text leaves it as it is. Refusal "rate.bad".
[[nodiscard]] Result<WorkRates> set_work_rates(Studio& studio, const std::string& hour, const std::string& piece, const std::string& stone);

struct PieceWork {
    std::string piece, design, batch;
    double set_up_min = 0.0;   // share of what stands before its baths
    double bath_min = 0.0;     // share of the time at the bath
    double batch_min = 0.0;    // share of after-work on the whole batch: tools set up, wheels trued
    double after_min = 0.0;    // after-work on it
    double coats_min = 0.0;    // brush time of its stones' coats
    double rework_min = 0.0;   // all of that after it was judged gone over
    bool gone_over = false;    // and nothing was done about it since
    bool gap = false;          // some length is not known: it takes longer than this
    std::optional<Stamp> last; // when it was last worked on; unknown = never yet
    [[nodiscard]] double minutes() const { return set_up_min + bath_min + batch_min + after_min + coats_min + rework_min; }
};

// Pieces of one batch, or of one design without a batch, together. Minutes are means of a piece.
struct GroupWork {
    std::string name, design;        // "Batch 14"
    std::size_t pieces = 0, gone_over = 0, gaps = 0;
    std::optional<Stamp> last;
    double set_up_min = 0.0, bath_min = 0.0, batch_min = 0.0, after_min = 0.0, coats_min = 0.0, rework_min = 0.0;
    double minutes = 0.0;            // of a piece
    std::size_t finished = 0;             // of them with after-work that was timed
    std::optional<double> finishing_min;  // of a piece, over those; unknown where none was timed
    std::optional<double> per_good;  // all minutes over the pieces that came out; unknown where none did
    std::optional<double> cost;      // of a piece that came out, with its metal
};

enum class MistakeKind { gone_over, rework, stone };
struct Mistake {
    MistakeKind kind = MistakeKind::rework;
    Stamp at;
    std::string what;            // "L-016 went over", "stone F-031 lifted"
    double minutes = 0.0;        // lost
    std::optional<double> cost;  // unknown where a rate it needs was not said
};

struct WorkFigures {
    WorkRates rates;
    std::vector<PieceWork> pieces;      // by number
    std::vector<GroupWork> groups;      // by the day they were last worked on
    std::vector<GroupWork> by_size;     // batches of 1, of 2 to 6, of 7 to 12, of 13 and more
    std::vector<std::string> words;     // what was counted, and what could not be
};
[[nodiscard]] WorkFigures work_figures(Studio& studio);

struct MistakeFigures {
    Stamp from, to;              // the quarter that is asked for, or this one
    std::vector<Mistake> all;    // oldest first
    double minutes = 0.0;
    std::optional<double> cost;  // of those whose cost is known; unknown where none is
    std::size_t without_cost = 0;
};
// `quarters_back` 0: the calendar quarter that goes on.
[[nodiscard]] MistakeFigures mistake_figures(Studio& studio, int quarters_back = 0);

[[nodiscard]] std::string_view word_of(MistakeKind kind);
// Pages of lines for the screen: heads ("## …") and items ("- …").
[[nodiscard]] std::string work_text(const WorkFigures& figures);
[[nodiscard]] std::string mistakes_text(const MistakeFigures& figures);

}  // namespace tonebath::app
