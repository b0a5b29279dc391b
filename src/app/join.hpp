// Joining the log of a second bench: what it would do, in words and figures, and doing it.
#pragma once

#include "app/records.hpp"
#include "base/result.hpp"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct JoinAsk {
    std::filesystem::path file;  // the other bench's log; it is copied aside and never touched
    std::string mark;            // of the other bench, 1 to 8 letters or digits; empty = as its log says
    std::string clock;           // how far its clock was behind, "1 h", "-20 min", "0 s"; empty = found
};

struct JoinNews {
    bool written = false;
    bool nothing = false;             // nothing to add or to change
    std::string said;                 // "New: 35 dips, 3 baths. Known: 6 dips, 1 bath. …"
    std::vector<std::string> lines;   // the clock, the numbers that clash, people, changes: one thing a line
    RecordTable counts;               // noun, new, known, changed, taken_back, left_out
    RecordTable clashes;              // noun, number, here, there: what each is called afterwards; unknown without a mark
    std::string clock;                // "found", "told", "none", "unclear"
    double clock_s = 0.0;             // added to the other's moments
    std::string our_mark, their_mark;
    std::int64_t changes = 0;         // of its change log
    int form = 0;                     // schema of the file
};

// Called now and then, on the calling thread; false gives up.
using JoinGoesOn = std::function<bool(std::int64_t done, std::int64_t all)>;

// Nothing is written. Refusals: as store::OtherLog::open and store::preview_join, "join.bad_mark", those of a duration, "log.trouble".
[[nodiscard]] Result<JoinNews> look_at_join(Studio& studio, const JoinAsk& ask, const JoinGoesOn& goes_on = {});
// One change, taken back by one undo. Refusals besides: as store::join, "log.read_only".
[[nodiscard]] Result<JoinNews> join_log(Studio& studio, const JoinAsk& ask, const JoinGoesOn& goes_on = {});

// The mark of this bench, which numbers get that stand on both; empty = none. Refusal "join.bad_mark".
[[nodiscard]] std::string bench_mark(Studio& studio);
[[nodiscard]] Result<Done> set_bench_mark(Studio& studio, const std::string& mark);

}  // namespace tonebath::app
