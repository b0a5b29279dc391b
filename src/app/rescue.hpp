// What can still be done with a piece that went over, by the strictest thing on it: stones, foil, glue, coats, metal. Of
// stones her own log is asked first, then what is published. A long read where many stones are in the log.
#pragma once

#include "base/ids.hpp"
#include "base/result.hpp"
#include "model/piece.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

enum class RescueState {
    open,     // nothing recorded speaks against it
    careful,  // open, with what to mind
    ask,      // not known: ask or try on a spare first
    closed,   // not on this piece
};

struct RescueChoice {
    std::string key;
    std::string name;
    std::string how;
    RescueState state = RescueState::open;
    std::string why;          // what on the piece closes it, or what to mind; may be empty
    std::vector<std::string> own;    // her own log on stones like hers and this way; empty: untested here
    std::vector<std::string> noted;  // what is published of them, with its source
    bool conflict = false;    // the two say different things: both stand there, the stricter decides
    std::string warning;      // of the step itself; may be empty
    std::string source;
    std::string trust;        // source, practice, memory
};

// A dip or after-work that came after the piece was judged gone over, or past its aim.
struct Rework {
    std::string what;
    Stamp at;
};

struct Rescue {
    std::string piece;
    std::string head;                     // "sterling and copper; no stone is recorded"
    bool stones_known = false;            // stones are recorded, or the piece was asked about and has none
    std::vector<RescueChoice> choices;    // open first, closed last
    std::vector<std::string> ask_first;   // questions to answer before anything else
    std::vector<Rework> rework;
};

struct RescueAsk {
    Id<Piece> piece;
    bool no_stone = false;                // said by the maker: there is none on it
};

// Refusals: "piece.unknown", "data.bad_file".
[[nodiscard]] Result<Rescue> rescue(Studio& studio, const RescueAsk& ask);
[[nodiscard]] std::string_view word_of(RescueState state);

}  // namespace tonebath::app
