// The studio's own figure in the place of one that is usual: a prior of the tone model.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"
#include "model/person.hpp"

#include <optional>
#include <string>

namespace tonebath {

struct OwnFigure {
    static constexpr std::string_view kTable = "own_figure";
    Id<OwnFigure> id;
    std::string figure;          // which one: "temperature-effect", as the studio's list has them. Unique in the log
    double middle = 0.0;         // in that figure's own unit
    std::optional<double> low;   // 80 of 100 lie between the two; both or neither
    std::optional<double> high;
    std::string source;          // where it comes from
    std::string trust;           // how far it is to be trusted, in a word
    Stamp at;                    // from when it holds
    std::optional<Id<Person>> who;
    Stamp made_at;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("figure", s.figure);
        v("middle", s.middle);
        v("low", s.low);
        v("high", s.high);
        v("source", s.source);
        v("trust", s.trust);
        v("at", s.at);
        v("who", s.who);
        v("made", s.made_at);
    }
};

}  // namespace tonebath
