// What was skipped at the bench and waits to be filled in, each with the form that fills it.
#pragma once

#include "base/clock.hpp"

#include <map>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct FillIn {
    std::string id;                             // of the record, with what is missing: one line has one
    std::string noun;                           // "dip", "bath", "part", "piece" …
    std::string number;                         // what people call it: "L-131", "strip 12", "bath 46", "8 pieces"
    std::string missing;                        // "no tone judged"
    std::string more;                           // "dipped 31 Mar 2026 10:02 in bath 46"
    Stamp made_at;
    std::string action;                         // the form that fills it in
    std::map<std::string, std::string> filled;  // and what it begins with; repeated fields: lines
};

struct FillInList {
    std::vector<FillIn> lines;  // newest first
    bool more = false;          // there are older ones that are not listed
};

// At most `limit` lines. Gaps: a dip without tone, preparation, rinse or initials; past work without its length; a bath
// without amount, water or temperature, or ended with some kept back and not disposed of; a part or a dipped piece without metal; a value
// typed from memory.
[[nodiscard]] FillInList fill_in_list(Studio& studio, std::size_t limit = 200);

// The command that fills it in: "tonebath judgement add --piece L-131 --dip L-131/2".
[[nodiscard]] std::string fill_in_command(const FillIn& line);

}  // namespace tonebath::app
