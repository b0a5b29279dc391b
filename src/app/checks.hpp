// The lists as they stand: what is asked of one person for one piece of work, what was answered, and whether the work
// may begin, go on or end.
//
// A use of a list counts for its person, kind of finish, room and bath (or class) only. It begins again
//  - when it was broken off for more than 15 minutes before its last line,
//  - two hours after its first answer; half an hour after its last line for a make-up, a coating or a disposal (ours),
//  - once the make-up, coating or disposal that it stood before is written down,
//  - for a bath: with the bath's end, after a break of more than 15 minutes at it, and once the session was closed.
// Past work needs no list, and is marked.
#pragma once

#include "model/bath.hpp"
#include "model/checklist.hpp"
#include "model/desk.hpp"
#include "model/safety.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Studio;

inline constexpr double kCheckHolds_s = 2.0 * 3600.0;
inline constexpr double kListHolds_s = 30.0 * 60.0;  // ours: a make-up, a coating, a disposal follow its list at once
inline constexpr double kBreak_s = 15.0 * 60.0;      // after an interruption a list begins again: NASA CR-177549, quoted
inline constexpr double kWordsPerSecond = 6.0;       // ours: nobody reads faster

// What a list is answered for.
struct CheckAbout {
    std::string kind;  // key of the kind of finish
    std::optional<Id<Bath>> bath_id;
    std::optional<Id<ClassSession>> class_id;
    std::optional<Id<Person>> who;
    std::optional<Id<Room>> room_id;
};
// For work in the room that the bench stands in; `who` empty = who is at the bench.
[[nodiscard]] CheckAbout about_kind(Studio& studio, std::string_view kind, std::optional<Id<Person>> who = std::nullopt);
[[nodiscard]] CheckAbout about_bath(Studio& studio, const Bath& bath, std::optional<Id<Person>> who = std::nullopt);

enum class ItemMark { open, confirmed, held, passed_over, left, no_meter };

struct ItemState {
    ChecklistItem item;     // with the level and the words that stand here and now
    ItemMark mark = ItemMark::open;
    bool answered = false;  // confirmed, held from another list, or passed over
    std::string response;   // what was stated
    std::string reason;     // why it was passed over
    std::string who;        // initials
    std::optional<Stamp> at;
    std::optional<double> number;  // in item.number
    bool asks_number = false;
    // To be offered, never taken over: what this person stated last time, at most 30 days ago; for a temperature the
    // bath's last reading, for the last line the time.
    std::string last_time;
    // Counted among what is asked: not advice, not the last line.
    [[nodiscard]] bool asked() const { return item.level != CheckLevel::advise && !item.completion; }
};

inline constexpr double kAfterwards_s = 12.0 * 3600.0;  // ours: what is typed so long after it was done is past work, and needed no list

struct CheckState {
    std::string list, title;
    int version = 1;
    std::vector<ItemState> items;  // those that apply to the finish, in order
    bool done = false;             // nothing is held back by it
    bool closed = false;           // its last line was answered
    bool all_answered = false;     // only the last line is left
    std::size_t stops = 0, open_stops = 0, asked = 0, open = 0;
    std::optional<CheckRun> run;       // the use that counts; nothing = not begun
    std::optional<Stamp> holds_until;  // when done
    std::string lapsed;                // why the last use counts no longer; empty = none
    std::string words;                 // "Check done by MK at 09:41", "2 of 5 stops open."
    std::string ends_in;               // who decides in the end: to be shown with it
};

[[nodiscard]] CheckState list_state(Studio& studio, const Checklist& list, const CheckAbout& about);

// The lists that hold an act back, in order: those of that gate that ask something of the kind. One that goes along with
// the work is among them once a dip of this session was rinsed and nothing hangs in the bath, or once it was opened again.
[[nodiscard]] std::vector<CheckState> states_at(Studio& studio, Gate gate, const CheckAbout& about);
// The first of them that is open, else the first of all; an empty state when none applies.
[[nodiscard]] CheckState check_state(Studio& studio, const Bath& bath);
[[nodiscard]] CheckState check_state(Studio& studio, const Id<Bath>& bath);

// Refused while a list of the gate is open ("check.open"), nobody is named ("check.no_name"), or a list of the studio's
// own folder is not understood ("data.bad_file").
[[nodiscard]] std::optional<Refusal> held_back(Studio& studio, Gate gate, const CheckAbout& about);

// The second person named with a use of those lists that counts now.
[[nodiscard]] std::optional<Id<Person>> second_at(Studio& studio, Gate gate, const CheckAbout& about);

// What was stated at the lists of the gate: "lac.ignition: all off", one a line.
[[nodiscard]] std::string said_at(Studio& studio, Gate gate, const CheckAbout& about);
// The kind that work is taken for where nothing says it: what was made up last, else liver of sulfur; a coating: solvent
// lacquer.
[[nodiscard]] std::string usual_kind(Studio& studio, Gate gate);

// Seconds that an item takes to read, at least.
[[nodiscard]] double reading_s(const ChecklistItem& item);
// True for its whole key, or the part after the point: "ses.air", "air".
[[nodiscard]] bool is_called(const ChecklistItem& item, std::string_view name);
// True when an instrument of this kind is on the register and still here; "dry_solid": the kind's stock is lump or powder.
[[nodiscard]] bool is_here(Studio& studio, std::string_view need, const FinishKind& kind);

}  // namespace tonebath::app
