// What the page Coats shows: the evening under way with its rows, and the books behind it: own evenings, bottles, seals.
#pragma once

#include "app/coating.hpp"
#include "app/evenings.hpp"
#include "app/seal_shift.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

enum class RowPhase { waiting, under_way, ready, done };
struct CoatRow {
    int row = 1;
    int first = 1, last = 1;          // places
    RowPhase phase = RowPhase::ready;
    bool current = false;             // the next stone lies in it
    std::string head;                 // "coat 3 in 1:15", "under way", "coat 2 may go on", "all 3 coats on"
    std::string more;                 // "stone 1 began coat 2 at 19:15:00"
    std::optional<double> wait_s;     // until its next stone may have its coat
};
[[nodiscard]] std::vector<CoatRow> coat_rows(const CoatingState& state, const Stamp& now);

// What stands above the rows.
struct CoatNow {
    std::string head;                 // "Stone 22", "Row 3", "All coats on"
    std::string coat;                 // "coat 2 of 3"
    std::string where;                // "row 3, fourth from the left"; the stone's number where it was named
    std::string wait;                 // "its wait is over in 1:15"; empty when it is over
    std::string pace;                 // "25 s a stone"
    std::string loop;                 // "36 in 15 min, so the loop is the wait"
    std::string missed;               // "passed over: 4, 22"
};
// `place`: another stone that was picked; nothing = the next.
[[nodiscard]] CoatNow coat_now(const CoatingState& state, const Stamp& now, std::optional<int> place);

// The evening on one line, from its first stroke to the end of its last; shares 0..1.
struct FinishLine {
    struct Tick {
        double share = 0.0;
        std::string words;            // "19:00", "coat 2", "19:45 last coat"
    };
    std::vector<Tick> ticks;
    double now_share = 0.0;
    std::string bath;                 // "07:45 tomorrow"
};
[[nodiscard]] FinishLine finish_line(const CoatingState& state, const Stamp& now);
[[nodiscard]] FinishLine finish_line(const science::CoatAsk& ask, const Stamp& start, const Stamp& now);
// "07:45", "07:45 tomorrow", "1 Apr 07:45", as seen from `now`.
[[nodiscard]] std::string hour_words(const Stamp& at, const Stamp& now);

// A long read: every stone, its baths and looks. Only while the page is shown.
struct CoatsBooks {
    std::vector<EveningRecord> evenings;
    std::vector<BottleTrend> bottles;
    std::vector<SealShift> seals;
    std::optional<Coating> last;      // begun last, open or ended
    std::string last_bottle;          // its number
};
[[nodiscard]] CoatsBooks coats_books(Studio& studio);

}  // namespace tonebath::app
