// The Class sheet: seats and who was briefed, the bath plan by seat, what keeps the class from starting, and what is owed.
#pragma once

#include "app/classes.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Learned;
class Studio;

struct ClassSeat {
    int number = 1;
    SeatUse use = SeatUse::in_use;
    bool briefed = false;
    bool asked = true;      // false: entered afterwards, nothing was asked here
    bool over = false;      // one more than the limit allows
    bool let_in = false;    // over, with a name and a reason
    bool minor = false;
    bool no_consent = false;  // a minor whose consent the venue asks for, not seen
    std::string head;       // "briefed", "not briefed", "watching", "empty"
    std::string more;       // "confirmed 28 Mar", "cannot dip until confirmed", "no lane, goggles on"
    std::string who;        // initials; names are optional
    std::string aim;        // its own wish; empty = the class's
};

struct ClassView {
    std::string number;               // empty = no class is written down
    std::string head;                 // "Class at 13:00"
    std::string title;
    std::string supervisor;           // "supervisor MK, cleared to supervise"
    std::string second;               // "second person AP", "no second person named"
    std::vector<ClassSeat> seats;
    SeatCount count;
    int limit = 0;
    std::string seats_words;          // "10 of 10, the limit of this class"
    std::string use_words;            // "9 dip, 1 watches"
    std::vector<ClassReason> reasons; // why it does not start; empty once it was started
    bool started = false, ended = false, past = false;
    std::string state_words;          // "under way since 13:02", "ended 15:40"
    std::string limit_words, limit_more, over_words;
    std::string hand_out, hand_out_more;
    bool handed_out = false;
    std::string after, after_more;
    std::string bath;                 // number of its own bath that is in use; empty = none
    std::vector<std::string> incidents;
    bool consent_asked = false;       // the venue asks for consent for minors
    std::string keeps;                // "Names are optional …"
};
// `number` empty: the one that class_to_show() gives.
[[nodiscard]] ClassView class_view(Studio& studio, const std::string& number = {});

struct ClassLane {
    int seat = 1;
    bool briefed = false;
    std::string tone;
    Stamp in_at;
    double in_bath_s = 0.0;
    double temp_c = 0.0;
    bool reheat_before = false;
};
struct ClassPoint {
    Stamp at;
    double temp_c = 0.0;
};
struct ClassPlan {
    std::string bath;                  // reckoned in this one
    bool own = false;                  // it is the class's; else the newest in use, reheated, stands in for it
    std::string bath_words;            // "LS-2, 2.0 g in 400 ml, V3"
    std::vector<ClassLane> lanes;      // seats in use, in order of dropping
    std::vector<ClassPoint> course;    // temperature from the first drop to the last out
    std::vector<std::string> words;
    std::string why_none;              // why there are no seconds
};
// Drops begin when the class does, or now. Seats that watch have no lane.
[[nodiscard]] ClassPlan class_plan(Studio& studio, const Learned& learned, const std::string& number = {});

}  // namespace tonebath::app
