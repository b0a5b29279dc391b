// The list that is wanted now, for the person at the bench: drawn as it stands, nothing more is asked of the log.
//
// An answer is the form `answer_form(view, item, response)`, passing over `pass_form(view, item, who, reason)`; both are
// carried out as any other. A list answered elsewhere (a command, another window) is seen by the log's generation.
#pragma once

#include "app/checks.hpp"
#include "app/form.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct ChecksItem {
    std::string key;          // "ses.air"
    std::string text;         // what to look at; where a meter is missing, the advice in its place
    std::string why;
    std::string sources;      // in words: "ATSDR, Medical Management …; read"
    CheckLevel level = CheckLevel::advise;
    ItemMark mark = ItemMark::open;
    bool answered = false;    // confirmed, held or passed over
    bool current = false;     // the next to be answered
    bool completion = false;  // the last line
    bool can_close = false;   // of the last line: the rest is answered
    bool can_pass = false;    // a must that is open
    bool local = false;       // the local rule decides
    std::string answer;       // "window fan on", "passed over: tap under repair", "no meter"
    std::string signed_by;    // "MK 09:41"; "MK 09:33, before mixing" where it is held from there; empty = open
    std::string asks;         // what the answer states: "fan setting or window state"; empty = nothing is asked
    std::string offered;      // the answer of last time, else `asks`: for one key
    std::string unit;         // of the figure wanted in the answer; empty = none
    std::string consequence;  // of a stop that is open: "no bath can begin until then"
};

struct ChecksOther {
    std::string key, title;
    std::string why;          // "bath 46: 2 of 5 stops open.", "3 baths wait for disposal"
    std::string bath;         // number; empty = none
};

struct ChecksView {
    std::string key, title;   // "before_session"; empty = no list at all (no person is written down)
    std::string when;         // "bath still covered, before the first piece goes in"
    std::string mode;         // "do, then check"
    std::string about;        // "bath 46, liver of sulfur, lump"
    std::string why;          // why this one now: "bath 46 is in use and was not checked"
    std::vector<ChecksItem> items;
    std::size_t asked = 0, answered = 0, stops = 0, open_stops = 0;
    std::string counts;       // "6 of 9 answered"
    std::string state;        // "2 of 5 stops open.", "Check done by MK at 09:41, asked again at 11:30."
    std::string lapsed;       // "asked again: a break of 22 minutes at the bath"; empty = none
    std::string closing;      // "closes when the rest is answered", "closed at 09:41"
    std::string signed_by;    // "MK", "AP, with MK"; empty = nobody is at the bench
    std::string clearance;    // "may make up, dip alone, coat, dispose"; "may not dip alone: someone who may stands by"
    std::optional<Stamp> started;
    std::optional<Stamp> holds_until;
    int max_seconds = 60;     // a guide
    bool done = false, closed = false;
    bool offer_gas = false;   // it was opened again by an alarm: the gas page is offered
    std::vector<ChecksOther> others;  // lists that wait besides, the most pressing first
    std::string ends_in;      // who decides in the end
    std::string fault;        // a list of the studio's own folder that is not understood; nothing may begin until then
    std::string bath, kind;   // what the forms name
};

// What to show instead of what is wanted now.
struct ChecksChoice {
    std::string list;  // key; empty = what is wanted now
    std::string bath;  // number
    std::string kind;  // key
};
// Every list that asks something of what is done here: key and title, to choose from.
[[nodiscard]] std::vector<ChecksOther> lists_to_choose(Studio& studio);
[[nodiscard]] ChecksView checks_view(Studio& studio, const ChecksChoice& choice = {});
[[nodiscard]] Form answer_form(const ChecksView& view, const ChecksItem& item, std::string_view response);
[[nodiscard]] Form pass_form(const ChecksView& view, const ChecksItem& item, std::string_view who, std::string_view reason);

// Uses of the lists, the newest first, each with the words that were confirmed.
struct CheckUse {
    CheckRun run;
    std::string bath, who, second;  // number, initials; empty = none
    std::vector<CheckAnswer> answers;
};
[[nodiscard]] std::vector<CheckUse> check_uses(Studio& studio, std::size_t limit);

}  // namespace tonebath::app
