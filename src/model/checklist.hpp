// Checklists as data: what must be so before work begins, goes on or ends.
#pragma once

#include "model/finish_kind.hpp"

#include <string>
#include <vector>

namespace tonebath {

// A stop holds the work back and cannot be passed over; a must may be, by a named person with a reason; an advise line
// is only shown.
enum class CheckLevel { stop, must, advise };

// The act that a list holds back until it is answered.
enum class Gate { mix, start_bath, coat, dispose };

struct ChecklistItem {
    std::string key;       // "ses.air"; never given to another meaning
    std::string text;      // what to look at, as on screen
    std::string response;  // what the answer states; empty = shown, not asked
    std::string why;
    CheckLevel level = CheckLevel::advise;
    std::vector<std::string> families;  // it applies to a finish that shares one of them; "any" = all
    std::vector<std::string> source;    // ids of the list of safety sources
    bool defer_to_local = false;        // the local rule decides
    std::vector<std::string> away;      // families that it keeps away from the work
    std::string needs;                  // kind of instrument ("gas_meter") or "dry_solid"; empty = nothing
    std::string without;                // shown as advice where what it needs is not here; empty = dropped then
    std::string number;                 // unit of the figure in the answer: ppm, m/s, C, mL, L, min; empty = none
    std::string number_needs;           // the figure is asked only where this instrument is here
    std::optional<double> hold_min;     // confirmed so many minutes ago by the same person here: shown, not asked again
    bool stop_when_not_cleared = false; // a stop when the person at the bath is not cleared to dip alone
    std::string duplicate_of;           // the item of another list that it repeats
    bool completion = false;            // the last line, which closes the list
};

struct Checklist {
    std::string key;  // "before_session"
    int version = 1;
    std::string title;
    std::string when;
    std::string mode;     // "do, then check" or "read, then do"
    std::string ends_in;  // who decides in the end
    std::vector<ChecklistItem> items;
    std::vector<Gate> gates;             // empty = it holds nothing back
    std::vector<std::string> reopen_on;  // not empty: it goes along with the work, and its last line comes at the end
    int max_seconds = 60;                // a guide to how long it takes
    std::string reader;                  // who answers it
    bool own = false;                    // from the studio's own folder

    [[nodiscard]] bool goes_along() const { return !reopen_on.empty(); }
    [[nodiscard]] bool holds(Gate gate) const;
};

// The items that apply to a kind of finish, in order. "Does not apply" comes from the finish alone.
[[nodiscard]] std::vector<ChecklistItem> items_for(const Checklist& list, const FinishKind& kind);
// True when an item besides the last line is more than advice for this kind: else the list is not shown.
[[nodiscard]] bool asks_of(const Checklist& list, const FinishKind& kind);

template <>
struct EnumWords<CheckLevel> {
    static constexpr std::array<std::string_view, 3> words{"stop", "must", "advise"};
};
template <>
struct EnumWords<Gate> {
    static constexpr std::array<std::string_view, 4> words{"mix", "start_bath", "coat", "dispose"};
};

}  // namespace tonebath
