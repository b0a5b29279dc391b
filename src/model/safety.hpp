// Checks that were answered, and what went out of the studio.
#pragma once

#include "model/bath.hpp"

#include <optional>
#include <string>

namespace tonebath {

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
    }
};

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

}  // namespace tonebath
