// Tones: ordered words on a scale, one scale per metal and surface; and the targets aimed at.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"
#include "base/text.hpp"

#include <array>
#include <optional>
#include <string>

namespace tonebath {

// Whether film constants are published for the metal: silver has them, the rest start from words alone.
enum class FilmConstants { silver, none };

struct Metal {
    static constexpr std::string_view kTable = "metal";
    Id<Metal> id;
    std::string name;                 // sterling, fine silver, copper, red brass …; unique in the log
    FilmConstants film = FilmConstants::none;
    std::string base_under;           // filled or plated: the metal beneath, "unknown" allowed
    std::string bare_colour;          // "#rrggbb" for the screen, may be empty
    std::string note;
    Stamp made_at;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("name", s.name);
        v("film", s.film);
        v("base_under", s.base_under);
        v("bare_colour", s.bare_colour);
        v("note", s.note);
        v("made", s.made_at);
    }
};

struct ToneScale {
    static constexpr std::string_view kTable = "tone_scale";
    Id<ToneScale> id;
    Id<Metal> metal_id;
    std::string surface;              // bright, satin, matt, hammered …; empty = every surface of this metal
    std::string note;
    Stamp made_at;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("metal_id", s.metal_id);
        v("surface", s.surface);
        v("note", s.note);
        v("made", s.made_at);
    }
};

struct Tone {
    static constexpr std::string_view kTable = "tone";
    Id<Tone> id;
    Id<ToneScale> scale_id;
    int position = 0;                 // 0 = bare metal, rising with the film
    std::string word;                 // unique on its scale
    std::string colour;               // "#rrggbb" for the screen; empty = words only
    bool ceiling = false;             // more time adds nothing: the last tone
    std::optional<double> l, a, b;    // measured L*a*b*, D50, when the studio has measured it
    Stamp made_at;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("scale_id", s.scale_id);
        v("position", s.position);
        v("word", s.word);
        v("colour", s.colour);
        v("ceiling", s.ceiling);
        v("lab_l", s.l);
        v("lab_a", s.a);
        v("lab_b", s.b);
        v("made", s.made_at);
    }
};

// Where a tone is judged, and when.
enum class Place { whole, recess, high_point };
enum class Moment { before_relief, after_relief, after_sealing };

struct Target {
    static constexpr std::string_view kTable = "target";
    Id<Target> id;
    std::string name;                     // "Limpet lid blue"; unique in the log
    Id<ToneScale> scale_id;
    Id<Tone> tone_id;
    Place place = Place::whole;
    Moment moment = Moment::before_relief;
    std::optional<double> dose_s;         // dose that gave it, s at 60 °C fresh; unknown until known
    std::optional<double> tolerance_steps;  // accepted distance, in tone steps
    std::string keep_piece;               // number of the reference piece
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("name", s.name);
        v("scale_id", s.scale_id);
        v("tone_id", s.tone_id);
        v("place", s.place);
        v("moment", s.moment);
        v("dose_s", s.dose_s);
        v("tolerance_steps", s.tolerance_steps);
        v("keep_piece", s.keep_piece);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

template <>
struct EnumWords<FilmConstants> {
    static constexpr std::array<std::string_view, 2> words{"silver", "none"};
};
template <>
struct EnumWords<Place> {
    static constexpr std::array<std::string_view, 3> words{"whole", "recess", "high point"};
};
template <>
struct EnumWords<Moment> {
    static constexpr std::array<std::string_view, 3> words{"before relief", "after relief", "after sealing"};
};

}  // namespace tonebath
