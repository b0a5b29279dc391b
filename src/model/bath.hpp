// A bath: one made-up vessel of solution (or one treatment of another finish kind), from make-up to disposal.
#pragma once

#include "model/lot.hpp"
#include "model/person.hpp"
#include "model/vessel.hpp"

namespace tonebath {

struct ClassSession;

enum class Agitation { still, gentle, brisk };

struct Bath {
    static constexpr std::string_view kTable = "bath";
    Id<Bath> id;
    std::string number;                    // "46"; unique in the log
    std::string finish_kind;               // decides the measure; dose only where the kind has one
    std::optional<Id<Lot>> lot_id;
    std::optional<double> amount;          // of the lot, in its unit, > 0
    std::optional<Millilitres> water;      // > 0
    std::optional<Celsius> start_temp;     // at make-up
    std::optional<Celsius> room_temp;
    std::optional<Id<Vessel>> vessel_id;
    std::string water_source;              // hard tap, rain, distilled …
    std::string additives;                 // ammonia, salt … as written
    std::optional<Agitation> agitation;    // usual for this bath; a dip may say otherwise
    std::optional<Id<Person>> who;
    std::string measure;                   // other finishes: what is counted (seconds, passes, hours, metal °C), by finish kind
    std::optional<double> measure_value;   // in that measure
    Stamp made_up_at;
    std::optional<Stamp> ended_at;         // no longer used
    std::optional<Millilitres> kept_back;  // left for disposal when it ended
    bool past_work = false;                // entered afterwards: not timed here, no check
    std::string note;
    Stamp made_at;
    std::string from_memory;
    std::optional<Id<ClassSession>> class_id;  // made up for a class: a lane is a seat

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("finish_kind", s.finish_kind);
        v("lot_id", s.lot_id);
        v("amount", s.amount);
        v("water_ml", s.water);
        v("start_temp_c", s.start_temp);
        v("room_temp_c", s.room_temp);
        v("vessel_id", s.vessel_id);
        v("water_source", s.water_source);
        v("additives", s.additives);
        v("agitation", s.agitation);
        v("who", s.who);
        v("measure", s.measure);
        v("measure_value", s.measure_value);
        v("made_up", s.made_up_at);
        v("ended", s.ended_at);
        v("kept_back_ml", s.kept_back);
        v("past_work", s.past_work);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
        v("class_id", s.class_id);
    }
};

// Fresh stock, water, or both, added to a bath in use; or water found lost.
struct TopUp {
    static constexpr std::string_view kTable = "top_up";
    Id<TopUp> id;
    Id<Bath> bath_id;
    Stamp at;
    std::optional<double> amount;            // of the bath's lot, in its unit
    std::optional<Millilitres> water_added;
    std::optional<Millilitres> volume_now;   // read off the vessel, when known
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("bath_id", s.bath_id);
        v("at", s.at);
        v("amount", s.amount);
        v("water_added_ml", s.water_added);
        v("volume_now_ml", s.volume_now);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// A temperature read in a bath.
struct Reading {
    static constexpr std::string_view kTable = "reading";
    Id<Reading> id;
    Id<Bath> bath_id;
    Stamp at;
    Celsius temp = Celsius::from_celsius(0.0);  // as the thermometer showed it
    std::optional<Id<Thermometer>> thermometer_id;
    bool reheated = false;    // warmed since the last reading: the curve starts again here
    bool kept = false;        // an odd value kept against a question
    std::string note;
    std::optional<Id<Person>> who;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("bath_id", s.bath_id);
        v("at", s.at);
        v("temp_c", s.temp);
        v("thermometer_id", s.thermometer_id);
        v("reheated", s.reheated);
        v("kept", s.kept);
        v("note", s.note);
        v("who", s.who);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

template <>
struct EnumWords<Agitation> {
    static constexpr std::array<std::string_view, 3> words{"still", "gentle", "brisk"};
};

}  // namespace tonebath
