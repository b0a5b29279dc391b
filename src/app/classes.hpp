// A class: its seats, and what keeps it, or a dip in one of its baths, from beginning.
//
// A seat in use confirms the briefing before any of the class's baths takes a piece; the supervisor is cleared to
// supervise; a seat over the limit has a name and a reason; where the venue asks for consent for minors, it was seen. Classes that were entered afterwards hold nothing back.
#pragma once

#include "model/bath.hpp"
#include "model/desk.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// By number.
[[nodiscard]] std::vector<Seat> seats_of(Studio& studio, const Id<ClassSession>& session);
[[nodiscard]] std::vector<Bath> baths_of(Studio& studio, const ClassSession& session);
[[nodiscard]] std::optional<ClassSession> class_of(Studio& studio, const Bath& bath);

struct ClassReason {
    std::string key;           // "seat 6", "consent 6", "supervisor", "over 11", "check 47"
    std::optional<int> seat;   // whose it is
    bool check = false;        // a check before a bath is open
    std::string what;          // "Seat 6 has not confirmed the briefing"
    std::string missing;       // "brief the seat, or set it to watching"
};
// Why no piece goes into a bath of this class; empty = nothing of the class stands against it.
[[nodiscard]] std::vector<ClassReason> why_no_dip(Studio& studio, const ClassSession& session);
// Why the class does not start: the same, and the open checks before its baths.
[[nodiscard]] std::vector<ClassReason> why_no_start(Studio& studio, const ClassSession& session);

struct SeatCount {
    std::size_t taken = 0;    // in use or watching
    std::size_t in_use = 0;
    std::size_t watching = 0;
    std::size_t briefed = 0;  // of those in use
};
[[nodiscard]] SeatCount count_of(const std::vector<Seat>& seats);
// This seat is one more than the limit allows: the seats before it that are taken fill it.
[[nodiscard]] bool over_limit(const std::vector<Seat>& seats, const Seat& seat, int limit);
// A minor whose consent the venue asks for, and nobody has seen it.
[[nodiscard]] bool lacks_consent(const ClassSession& session, const Seat& seat);
// "12 seats where 10 is the limit: seat 11 let in by MK, a pair shares; seat 12 by nobody"; empty within the limit.
[[nodiscard]] std::string over_limit_words(Studio& studio, const ClassSession& session, const std::vector<Seat>& seats);

// The one that goes on; else the next of today or later; else the last. nullopt when there is none.
[[nodiscard]] std::optional<ClassSession> class_to_show(Studio& studio);

// People known only as students of classes, whose last class is longer ago than the studio keeps such records.
struct KeptPerson {
    Person person;
    Stamp last_class;
};
// Months that such records are kept; unknown = the studio has not said.
[[nodiscard]] std::optional<int> months_kept(Studio& studio);
void keep_for_months(Studio& studio, const std::optional<int>& months);
[[nodiscard]] std::vector<KeptPerson> people_kept_too_long(Studio& studio);
// Puts a number in place of the initials: on the person, and as a whole word in seats' and classes' notes, in the book
// of near misses, in comments on checks and wherever "withdrawn by" holds them. Inside the caller's change.
struct Blanked {
    std::string before, after;
    std::size_t notes = 0;  // records whose words were changed
};
[[nodiscard]] Blanked blank_person_everywhere(Studio& studio, Person person);

}  // namespace tonebath::app
