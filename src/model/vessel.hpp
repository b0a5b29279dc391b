// Vessels and thermometers.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"
#include "base/units.hpp"

#include <optional>
#include <string>

namespace tonebath {

struct Vessel {
    static constexpr std::string_view kTable = "vessel";
    Id<Vessel> id;
    std::string number;                     // on the label: "V1". Unique in the log
    std::string kind;                       // glass bowl, steel cup, bowl in a water bath …
    std::optional<Millilitres> volume;      // > 0
    std::optional<double> cooling_per_min;  // Newton constant typed by the studio, 0..1 per minute; unknown = learned from readings
    bool covered = false;
    bool strips_only = false;
    std::string note;
    Stamp made_at;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("kind", s.kind);
        v("volume_ml", s.volume);
        v("cooling_per_min", s.cooling_per_min);
        v("covered", s.covered);
        v("strips_only", s.strips_only);
        v("note", s.note);
        v("made", s.made_at);
    }
};

struct Thermometer {
    static constexpr std::string_view kTable = "thermometer";
    Id<Thermometer> id;
    std::string number;
    std::string note;
    std::optional<Stamp> in_use_from;  // the one that readings without a named thermometer are taken to be from this moment
    Stamp made_at;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("note", s.note);
        v("in_use_from", s.in_use_from);
        v("made", s.made_at);
    }
};

// An ice or boiling check: offset = reads - true, applied to readings from `applies_from` on.
struct ThermometerCheck {
    static constexpr std::string_view kTable = "thermometer_check";
    Id<ThermometerCheck> id;
    Id<Thermometer> thermometer_id;
    Stamp at;
    Stamp applies_from;                // usually the check itself; earlier only when the maker says since when it was wrong
    Celsius reads = Celsius::from_celsius(0.0);
    Celsius truth = Celsius::from_celsius(0.0);  // 0 °C in ice water; boiling by altitude
    std::string note;
    Stamp made_at;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("thermometer_id", s.thermometer_id);
        v("at", s.at);
        v("applies_from", s.applies_from);
        v("reads_c", s.reads);
        v("truth_c", s.truth);
        v("note", s.note);
        v("made", s.made_at);
    }
};

}  // namespace tonebath
