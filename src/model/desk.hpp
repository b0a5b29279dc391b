// The safety desk: rooms and their air, what stands in the studio, the book of near misses, the local rules, and classes.
#pragma once

#include "model/lot.hpp"
#include "model/person.hpp"
#include "model/room.hpp"

namespace tonebath {

struct Bath;
struct Tone;

// A product in the studio. Until its safety sheet is read here it counts as acid, whatever it is called.
struct Chemical {
    static constexpr std::string_view kTable = "chemical";
    Id<Chemical> id;
    std::string name;                        // as on the bottle; unique in the log
    std::string finish_kind;                 // kind that it counts as once its sheet is read
    std::optional<Id<Lot>> lot_id;
    std::optional<Stamp> opened_at;
    std::string hazards;                     // statements of its own sheet: "H314, EUH031"
    std::optional<Stamp> sheet_at;           // date on the sheet
    std::optional<Stamp> read_at;            // when the sheet was read here; unknown = not read
    std::optional<double> strength_percent;  // the highest percentage of sulfide on the sheet, above 0, at most 100
    std::string place;                       // where kept
    bool locked = false;                     // that place is locked
    std::optional<Stamp> on_bench_at;        // since when it stands out; unknown = put away
    std::optional<Stamp> gone_at;            // no longer in the studio
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("name", s.name);
        v("finish_kind", s.finish_kind);
        v("lot_id", s.lot_id);
        v("opened", s.opened_at);
        v("hazards", s.hazards);
        v("sheet", s.sheet_at);
        v("read", s.read_at);
        v("strength_percent", s.strength_percent);
        v("place", s.place);
        v("locked", s.locked);
        v("on_bench", s.on_bench_at);
        v("gone", s.gone_at);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// A thing that measures: a gas meter, an air-speed meter. An item of a list that needs one asks for it only when it is here.
struct Instrument {
    static constexpr std::string_view kTable = "instrument";
    Id<Instrument> id;
    std::string name;                 // "meter 1"; unique in the log
    std::string kind;                 // "gas_meter", as checklists name it
    std::optional<double> alarm_ppm;  // the alarm that the studio set, above 0
    std::optional<Stamp> tested_at;   // last bump test
    std::optional<Stamp> gone_at;     // no longer in the studio
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("name", s.name);
        v("kind", s.kind);
        v("alarm_ppm", s.alarm_ppm);
        v("tested", s.tested_at);
        v("gone", s.gone_at);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

enum class LimitKind { ceiling, minutes_15, hours_8 };

// A limit of the air that the studio types in: one that a private body sells, or an inspector's.
struct OwnLimit {
    static constexpr std::string_view kTable = "own_limit";
    Id<OwnLimit> id;
    std::string number;                  // "AL-1"; unique in the log
    std::string substance;               // as the program calls it: "hydrogen sulfide"
    std::string body;                    // whose limit it is
    LimitKind kind = LimitKind::ceiling; // at any time, or over so long
    double ppm = 0.0;                    // above 0
    std::string year, source;            // as they stand on the sheet
    std::optional<Stamp> ended_at;       // it is no longer held against
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("substance", s.substance);
        v("body", s.body);
        v("limit_kind", s.kind);
        v("ppm", s.ppm);
        v("year", s.year);
        v("source", s.source);
        v("ended", s.ended_at);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// What the local authority said about waste: who, when and for what. The limit is typed by the studio, never built in.
struct LocalRule {
    static constexpr std::string_view kTable = "local_rule";
    Id<LocalRule> id;
    std::string name;                    // "letter of 4 Nov 2025"; unique in the log
    std::string said_by;                 // the office, not a person
    std::optional<Stamp> said_at;
    std::string covers;                  // for what waste, in words
    std::string route;                   // "collection"
    std::optional<double> limit_kg;      // a calendar month, above 0
    std::optional<Stamp> ended_at;       // it no longer holds
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("name", s.name);
        v("said_by", s.said_by);
        v("said", s.said_at);
        v("covers", s.covers);
        v("route", s.route);
        v("limit_kg", s.limit_kg);
        v("ended", s.ended_at);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// A class: seats at one bench under one supervisor. Its baths name it.
struct ClassSession {
    static constexpr std::string_view kTable = "class_session";
    Id<ClassSession> id;
    std::string number;                      // "C-9"; unique in the log
    std::string title;
    Stamp at;                                // when it is to begin
    std::optional<Stamp> started_at;
    std::optional<Stamp> ended_at;
    std::optional<Id<Room>> room_id;
    int seat_limit = 0;                      // the maker's own for that room, at least 1
    std::optional<Id<Person>> supervisor;
    std::optional<Id<Person>> second;        // the second person
    std::optional<Stamp> handed_out_at;      // the sheet for the seats was given out
    std::optional<Id<Tone>> aim_id;          // tone that all are taken to; a seat may have its own
    std::optional<Seconds> every;            // between drops
    bool consent_asked = false;              // the venue asks for consent for minors
    bool past_work = false;                  // entered afterwards: no check, no briefing seen here
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("title", s.title);
        v("at", s.at);
        v("started", s.started_at);
        v("ended", s.ended_at);
        v("room_id", s.room_id);
        v("seat_limit", s.seat_limit);
        v("supervisor", s.supervisor);
        v("second", s.second);
        v("handed_out", s.handed_out_at);
        v("aim_id", s.aim_id);
        v("every_s", s.every);
        v("past_work", s.past_work);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
        v("consent_asked", s.consent_asked);
    }
};

enum class SeatUse { in_use, watching, empty };

// A seat of a class. No health facts are asked or kept; a name is not needed.
struct Seat {
    static constexpr std::string_view kTable = "seat";
    Id<Seat> id;
    Id<ClassSession> class_id;
    int number = 1;                          // 1, 2, …; once in a class
    SeatUse use = SeatUse::in_use;
    std::optional<Id<Person>> person_id;
    std::optional<Stamp> briefed_at;         // the seat confirmed the briefing
    std::optional<Id<Person>> briefed_by;    // who briefed
    std::optional<Id<Person>> over_limit_by; // a seat over the limit: who let it in, and why
    std::string over_limit_why;
    std::optional<Id<Tone>> aim_id;          // this seat's own wish
    bool minor = false;                      // nobody's age is kept, only this
    std::optional<Stamp> consent_at;         // a minor's consent was seen, on paper
    std::optional<Id<Person>> consent_by;    // who saw it
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("class_id", s.class_id);
        v("number", s.number);
        v("seat_use", s.use);
        v("person_id", s.person_id);
        v("briefed", s.briefed_at);
        v("briefed_by", s.briefed_by);
        v("over_limit_by", s.over_limit_by);
        v("over_limit_why", s.over_limit_why);
        v("aim_id", s.aim_id);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
        v("minor", s.minor);
        v("consent", s.consent_at);
        v("consent_by", s.consent_by);
    }
};

// A stop that was raised, a near miss, or an incident. Never removed; withdrawn, it stays.
enum class NearMissKind { stop, near_miss, incident };

struct NearMiss {
    static constexpr std::string_view kTable = "near_miss";
    Id<NearMiss> id;
    std::string number;                      // "N-3"; unique in the log
    Stamp at;
    NearMissKind kind = NearMissKind::near_miss;
    std::string words;                       // what happened, or what must never meet and what it gives
    std::optional<Id<Bath>> bath_id;
    std::optional<Id<ClassSession>> class_id;
    std::optional<Id<Person>> who;
    std::string comment;                     // the maker's; empty = it waits
    std::optional<Stamp> commented_at;
    std::string withdrawn_by;                // initials; empty = it stands
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("at", s.at);
        v("kind", s.kind);
        v("words", s.words);
        v("bath_id", s.bath_id);
        v("class_id", s.class_id);
        v("who", s.who);
        v("comment", s.comment);
        v("commented", s.commented_at);
        v("withdrawn_by", s.withdrawn_by);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

template <>
struct EnumWords<LimitKind> {
    static constexpr std::array<std::string_view, 3> words{"ceiling", "15 min", "8 h"};
};
template <>
struct EnumWords<SeatUse> {
    static constexpr std::array<std::string_view, 3> words{"in use", "watching", "empty"};
};
template <>
struct EnumWords<NearMissKind> {
    static constexpr std::array<std::string_view, 3> words{"stop", "near miss", "incident"};
};

}  // namespace tonebath
