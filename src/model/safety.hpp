// Checks that were answered, and what went out of the studio.
#pragma once

#include "model/bath.hpp"

#include <optional>
#include <string>

namespace tonebath {

struct ClassSession;
struct Coating;
struct LocalRule;
struct Room;

// One use of a checklist by a named person. Undo never removes it: it is withdrawn.
struct CheckRun {
    static constexpr std::string_view kTable = "check_run";
    Id<CheckRun> id;
    std::string list_key;              // file of the list: "before_bath"
    int list_version = 1;
    std::optional<Id<Bath>> bath_id;
    std::optional<Id<Person>> who;
    Stamp at;                          // begun
    std::optional<Stamp> done_at;      // every stop answered and the completion line ticked
    std::string withdrawn_by;          // initials; empty = it stands
    std::optional<Stamp> withdrawn_at;
    std::string note;
    Stamp made_at;
    std::string finish_kind;           // whose families decided the items; empty in old records: the bath's
    std::optional<Id<Room>> room_id;
    std::optional<Id<Coating>> coating_id;
    std::optional<Id<ClassSession>> class_id;
    std::optional<Id<Person>> second;  // the second person who stood by
    std::string comment;               // added after it was finished: when, who, what, one a line

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("list_key", s.list_key);
        v("list_version", s.list_version);
        v("bath_id", s.bath_id);
        v("who", s.who);
        v("at", s.at);
        v("done", s.done_at);
        v("withdrawn_by", s.withdrawn_by);
        v("withdrawn", s.withdrawn_at);
        v("note", s.note);
        v("made", s.made_at);
        v("finish_kind", s.finish_kind);
        v("room_id", s.room_id);
        v("coating_id", s.coating_id);
        v("class_id", s.class_id);
        v("second", s.second);
        v("comment", s.comment);
    }
};

// What became of an item. A stop is confirmed or open, never passed over.
enum class AnswerState { confirmed, passed_over, left, no_meter };

// The answer to one item, with the text that was confirmed.
struct CheckAnswer {
    static constexpr std::string_view kTable = "check_answer";
    Id<CheckAnswer> id;
    Id<CheckRun> run_id;
    std::string item_key;
    std::string item_text;             // as it stood on the screen
    std::string level;                 // stop, must, advise
    std::string response;              // the condition stated, for example "window fan on"
    std::string reason;                // a must passed over: why
    std::optional<Id<Person>> who;
    Stamp at;
    Stamp made_at;
    AnswerState state = AnswerState::confirmed;
    std::optional<double> number;      // the figure in the reply, in `unit`
    std::string unit;                  // "ppm", "C", "mL", "L", "min"; empty = none asked
    bool quick = false;                // given faster than it can be read, and kept against the question

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("run_id", s.run_id);
        v("item_key", s.item_key);
        v("item_text", s.item_text);
        v("level", s.level);
        v("response", s.response);
        v("reason", s.reason);
        v("who", s.who);
        v("at", s.at);
        v("made", s.made_at);
        v("state", s.state);
        v("number", s.number);
        v("unit", s.unit);
        v("quick", s.quick);
    }
};

// A bath, or part of one, that left the studio.
struct Disposal {
    static constexpr std::string_view kTable = "disposal";
    Id<Disposal> id;
    std::optional<Id<Bath>> bath_id;
    Stamp at;
    std::optional<Millilitres> volume;
    std::string route;                 // collection, as the local office's letter says …
    std::string rule;                  // the local rule it followed: who said it, when
    std::optional<Id<Person>> who;
    std::string withdrawn_by;
    std::string note;
    Stamp made_at;
    std::string from_memory;
    std::optional<Id<LocalRule>> rule_id;  // the rule on file
    std::string finish_kind;               // of what went out, when it was no bath of the log
    std::optional<double> mass_kg;         // as weighed or billed; unknown = told from the volume
    bool past_work = false;                // entered afterwards: no check
    std::string baths;                     // numbers of baths that went out together, one a line; empty = bath_id alone

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("bath_id", s.bath_id);
        v("at", s.at);
        v("volume_ml", s.volume);
        v("route", s.route);
        v("rule", s.rule);
        v("who", s.who);
        v("withdrawn_by", s.withdrawn_by);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
        v("rule_id", s.rule_id);
        v("finish_kind", s.finish_kind);
        v("mass_kg", s.mass_kg);
        v("past_work", s.past_work);
        v("baths", s.baths);
    }
};

// A press of the bench key (or a click that does the same), as it came: nothing at the bench is inferred later.
struct Press {
    static constexpr std::string_view kTable = "press";
    Id<Press> id;
    Stamp at;
    std::int64_t boot_ms = 0;
    std::string boot_id;
    std::string act;                   // drop, out, rinsed, look
    std::optional<int> lane;
    std::string dip_id;                // the dip it acted on
    bool undone = false;               // taken back by the next press of undo
    Stamp made_at;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("at", s.at);
        v("boot_ms", s.boot_ms);
        v("boot_id", s.boot_id);
        v("act", s.act);
        v("lane", s.lane);
        v("dip_id", s.dip_id);
        v("undone", s.undone);
        v("made", s.made_at);
    }
};

template <>
struct EnumWords<AnswerState> {
    static constexpr std::array<std::string_view, 4> words{"confirmed", "passed over", "left", "no meter"};
};

}  // namespace tonebath
