// What goes into a bath and what came of it: strips, dips, rinses, tone judgements.
#pragma once

#include "model/bath.hpp"
#include "model/piece.hpp"
#include "model/tone.hpp"

#include <optional>
#include <string>

namespace tonebath {

// A test strip: an offcut of the same metal and finish, dipped to learn the time.
struct Strip {
    static constexpr std::string_view kTable = "strip";
    Id<Strip> id;
    std::string number;                  // unique in the log
    Id<Metal> metal_id;
    std::string surface;
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("metal_id", s.metal_id);
        v("surface", s.surface);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// One time in the bath. Exactly one of strip_id, piece_id (the whole piece) and part_id is set.
// While out_at is unknown the dip is running.
struct Dip {
    static constexpr std::string_view kTable = "dip";
    Id<Dip> id;
    Id<Bath> bath_id;
    std::optional<Id<Strip>> strip_id;
    std::optional<Id<Piece>> piece_id;
    std::optional<Id<Part>> part_id;
    std::optional<int> lane;             // at the bench, from 1
    std::optional<Stamp> dropped_at;     // unknown for past work where only the length is known: then `at_about`
    std::optional<std::int64_t> dropped_boot_ms;  // boot clock of the drop, with boot_id: runs through sleep
    std::string boot_id;
    std::optional<Stamp> out_at;
    std::optional<Seconds> in_bath;      // real seconds; from the boot clock when both presses share a boot_id, else the wall clock
    std::optional<Stamp> at_about;       // past work: the day or hour it was
    std::optional<Celsius> temp;         // past work: the temperature written down with it
    bool clock_gap = false;              // the machine was restarted meanwhile: the wall clock decided
    std::optional<Agitation> agitation;  // unknown = as the bath
    bool watched = false;                // pulled just as it reached the tone
    std::optional<Id<Target>> target_id;
    std::optional<Id<Tone>> aim_tone_id;
    // What was promised when it was dropped, s from the drop: the program grades itself by it.
    std::optional<double> planned_low_s, planned_s, planned_high_s;
    std::optional<Id<Person>> who;
    bool past_work = false;              // not timed here
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("bath_id", s.bath_id);
        v("strip_id", s.strip_id);
        v("piece_id", s.piece_id);
        v("part_id", s.part_id);
        v("lane", s.lane);
        v("dropped", s.dropped_at);
        v("dropped_boot_ms", s.dropped_boot_ms);
        v("boot_id", s.boot_id);
        v("out", s.out_at);
        v("in_bath_s", s.in_bath);
        v("at_about", s.at_about);
        v("temp_c", s.temp);
        v("clock_gap", s.clock_gap);
        v("agitation", s.agitation);
        v("watched", s.watched);
        v("target_id", s.target_id);
        v("aim_tone_id", s.aim_tone_id);
        v("planned_low_s", s.planned_low_s);
        v("planned_s", s.planned_s);
        v("planned_high_s", s.planned_high_s);
        v("who", s.who);
        v("past_work", s.past_work);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

struct Rinse {
    static constexpr std::string_view kTable = "rinse";
    Id<Rinse> id;
    Id<Dip> dip_id;
    Stamp at;                            // started
    std::optional<Seconds> length;       // unknown while it runs or when it was not timed
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("dip_id", s.dip_id);
        v("at", s.at);
        v("length_s", s.length);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// How a tone was judged against the word: it is that tone, lighter than it, or gone over it.
enum class Sense { is, lighter_than, gone_over };

struct Judgement {
    static constexpr std::string_view kTable = "judgement";
    Id<Judgement> id;
    std::optional<Id<Strip>> strip_id;
    std::optional<Id<Piece>> piece_id;
    std::optional<Id<Part>> part_id;
    std::optional<Id<Dip>> dip_id;       // the dip after which it was judged; unknown = after all so far
    Stamp at;
    std::optional<Id<Tone>> tone_id;     // unknown when only a colour was measured or a blotch noted
    Sense sense = Sense::is;
    std::optional<double> fraction;      // place inside the tone, 0..1, when touched on the strip
    Place place = Place::whole;
    Moment moment = Moment::before_relief;
    std::optional<double> l, a, b;       // measured L*a*b*, D50
    std::string blotch;                  // words, empty = none noted
    std::optional<Id<Person>> who;
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("strip_id", s.strip_id);
        v("piece_id", s.piece_id);
        v("part_id", s.part_id);
        v("dip_id", s.dip_id);
        v("at", s.at);
        v("tone_id", s.tone_id);
        v("sense", s.sense);
        v("fraction", s.fraction);
        v("place", s.place);
        v("moment", s.moment);
        v("lab_l", s.l);
        v("lab_a", s.a);
        v("lab_b", s.b);
        v("blotch", s.blotch);
        v("who", s.who);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

template <>
struct EnumWords<Sense> {
    static constexpr std::array<std::string_view, 3> words{"is", "lighter than", "gone over"};
};

}  // namespace tonebath
