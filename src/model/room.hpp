// A room that is worked in, and its air.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"
#include "base/text.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>

namespace tonebath {

struct Person;

// How the figure of the clean air is known.
enum class AirKnown { measured, smoke_tested, assumed };

struct Room {
    static constexpr std::string_view kTable = "room";
    Id<Room> id;
    std::string name;                 // "workshop"; unique in the log
    double volume_m3 = 0.0;           // > 0
    std::optional<double> flow_m3_h;  // of the fan or hood when it is on, >= 0; unknown = no figure
    AirKnown flow_known = AirKnown::assumed;
    std::optional<double> still_per_h;  // air changes an hour with fan off and windows shut
    std::optional<double> mixing;       // the worst mixing factor, 1 to 10
    std::string openings;               // windows and doors, in words
    std::optional<double> opening_m2;   // face of the hood or fan, > 0
    std::optional<double> distance_m;   // from there to the bath, >= 0
    std::optional<int> seat_limit;      // of a class in it, the studio's own, at least 1
    std::optional<Id<Person>> limit_by; // who set that limit, and when
    std::optional<Stamp> limit_at;
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("name", s.name);
        v("volume_m3", s.volume_m3);
        v("flow_m3_h", s.flow_m3_h);
        v("flow_known", s.flow_known);
        v("still_per_h", s.still_per_h);
        v("mixing", s.mixing);
        v("openings", s.openings);
        v("opening_m2", s.opening_m2);
        v("distance_m", s.distance_m);
        v("seat_limit", s.seat_limit);
        v("limit_by", s.limit_by);
        v("limit_set", s.limit_at);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

template <>
struct EnumWords<AirKnown> {
    static constexpr std::array<std::string_view, 3> words{"measured", "smoke-tested", "assumed"};
};

}  // namespace tonebath
