// The check before a bath: what is asked for its finish, what was answered, and whether a piece may be dropped.
//
// Rule: each stop of the list that applies to the bath's finish was confirmed for this very bath by a named person,
// less than two hours ago, and not withdrawn; the end of the bath ends it too. Past work needs no check and is marked.
#pragma once

#include "model/bath.hpp"
#include "model/checklist.hpp"
#include "model/safety.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

inline constexpr double kCheckHolds_s = 2.0 * 3600.0;

struct ItemState {
    ChecklistItem item;
    bool answered = false;  // within the two hours
    std::string response;   // what was stated
    std::string who;        // initials
    std::optional<Stamp> at;
};

struct CheckState {
    std::vector<ItemState> items;  // those that apply to the finish, in order
    bool done = false;             // every stop answered: a piece may be dropped
    std::size_t stops = 0, open_stops = 0;
    std::optional<Stamp> holds_until;  // when done
    std::string words;                 // "Check done by MK at 09:41", "2 of 3 stops open"
    std::string ends_in;               // who decides in the end: to be shown with it
};

[[nodiscard]] CheckState check_state(Studio& studio, const Id<Bath>& bath);
[[nodiscard]] CheckState check_state(Studio& studio, const Bath& bath);

}  // namespace tonebath::app
