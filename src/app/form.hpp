// A form: what a person typed for one action, as typed. The window and the commands hand in the same forms.
#pragma once

#include "base/result.hpp"

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

// How a field is typed and checked.
enum class FieldKind {
    text,         // free words
    number,       // plain number
    temperature,  // "60", "140 F"
    duration,     // "40", "1:20", "2 min"
    volume,
    mass,
    length,
    amount,       // of a lot, in the lot's unit
    moment,       // "now", "09:42", "31 Mar 2026 09:42", "10 min ago"
    choice,       // one of `choices`
    yes_no,       // yes, no, or empty for "not known"
    reference     // number or name of another record: bath, lot, piece, target, tone, person …
};

struct FieldSpec {
    std::string key;      // option of the command and key in files: "start-temp"
    std::string label;    // words on screen: "Temperature at make-up"
    FieldKind kind = FieldKind::text;
    bool required = false;
    std::string help;     // one line; an example where it helps
    std::vector<std::string> choices;   // for FieldKind::choice, in order
    std::string refers_to;              // for FieldKind::reference: the noun, "bath"
    bool repeated = false;              // several values, one a line ("--piece L-1 --piece L-2")
};

struct Form {
    std::string action;                          // "bath.make-up"
    std::map<std::string, std::string> typed;    // field key -> text; absent = not filled in. Repeated fields: lines
    std::set<std::string> kept;                  // codes of questions that were answered "keep it"
    std::set<std::string> from_memory;           // keys of fields typed from memory

    // The trimmed text, empty when not filled in.
    [[nodiscard]] std::string_view text(std::string_view key) const;
};

// What an action did, in words and in the numbers that were given out.
struct Outcome {
    std::string said;                            // "Bath 46 made up: 2.0 g of LS-2 in 400 ml."
    std::vector<std::string> cautions;           // shown beside it; never stop anything
    std::map<std::string, std::string> made;     // noun -> id of the record made or changed
};

}  // namespace tonebath::app
