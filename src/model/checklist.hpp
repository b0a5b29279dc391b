// A checklist as data: what must be so before a bath begins.
#pragma once

#include "model/finish_kind.hpp"

#include <string>
#include <vector>

namespace tonebath {

// A stop holds the bath back and cannot be passed over; a must may be, by a named person with a reason; an advise line
// is only shown.
enum class CheckLevel { stop, must, advise };

struct ChecklistItem {
    std::string key;       // "ses.air"; never given to another meaning
    std::string text;      // what to look at, as on screen
    std::string response;  // what the answer states; empty = shown, not asked
    std::string why;
    CheckLevel level = CheckLevel::advise;
    std::vector<std::string> families;  // it applies to a finish that shares one of them; "any" = all
    std::vector<std::string> source;    // ids of the list of safety sources
    bool defer_to_local = false;        // the local rule decides
};

struct Checklist {
    std::string key;  // "before_bath"
    int version = 1;
    std::string title;
    std::string when;
    std::string mode;     // "do, then check" or "read, then do"
    std::string ends_in;  // who decides in the end
    std::vector<ChecklistItem> items;
};

// The items that apply to a kind of finish, in order. "Does not apply" comes from the finish alone.
[[nodiscard]] std::vector<ChecklistItem> items_for(const Checklist& list, const FinishKind& kind);

template <>
struct EnumWords<CheckLevel> {
    static constexpr std::array<std::string_view, 3> words{"stop", "must", "advise"};
};

}  // namespace tonebath
