// Finding anything by what one remembers of it: number, design, tone, stone, lot, month, words of a note.
#pragma once

#include "base/clock.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Studio;

struct Hit {
    std::string noun;   // "bath", "piece" … as people call it
    std::string table;  // the noun's table
    std::string id;
    std::string number;       // "46", "L-058 lid"
    std::string line;         // one line of text: "bath 46, made up 31 Mar 2026, liver of sulfur, lump"
    std::optional<Stamp> at;  // when it was, where it has a time
};

// Exact numbers first, then numbers that begin so, then words; newest first among equals. Every word typed must be
// there. A tone's word also finds the pieces and strips judged so, a metal's its strips, a stone's its piece; "Mar
// 2026" or "march" finds the baths and dips of that month. Capitals and accents do not matter. Empty when nothing was
// typed.
[[nodiscard]] std::vector<Hit> find_anything(Studio& studio, std::string_view typed, std::size_t at_most = 50);

}  // namespace tonebath::app
