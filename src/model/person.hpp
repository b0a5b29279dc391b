// People, by initials, with what they may do.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"

#include <string>

namespace tonebath {

struct Person {
    static constexpr std::string_view kTable = "person";
    Id<Person> id;
    std::string initials;          // shown everywhere; unique in the log; a number once blanked
    std::string role;              // maker, apprentice, student …
    bool may_make_up = true;
    bool may_dip_alone = true;
    bool may_coat = true;
    bool may_dispose = true;
    bool may_supervise = true;
    bool blanked = false;          // initials were replaced by a number; the records stay
    Stamp made_at;
    std::string pin;               // as crypt(3) keeps it, asked before this person is at the bench; empty = none

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("initials", s.initials);
        v("role", s.role);
        v("may_make_up", s.may_make_up);
        v("may_dip_alone", s.may_dip_alone);
        v("may_coat", s.may_coat);
        v("may_dispose", s.may_dispose);
        v("may_supervise", s.may_supervise);
        v("blanked", s.blanked);
        v("made", s.made_at);
        v("pin", s.pin);
    }
};

}  // namespace tonebath
