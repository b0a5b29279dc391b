// A lot: one jar or bottle as bought. And the times it was weighed.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "base/units.hpp"

#include <array>
#include <optional>
#include <string>

namespace tonebath {

enum class LotForm { lump, gel, liquid, solution, other };

// Every record type lists its columns once, in `fields`: the store, the files and the change log all read that list.
// Rules for `fields`: the first entry is the id; the names are the column names; the order never changes.
struct Lot {
    static constexpr std::string_view kTable = "lot";
    Id<Lot> id;
    std::string number;                  // on the jar: "LS-1". Unique in the log
    std::string finish_kind;             // key of a finish kind, for example "liver_of_sulfur"
    LotForm form = LotForm::lump;
    std::optional<Stamp> bought_at;
    std::optional<Stamp> opened_at;
    AmountUnit unit = AmountUnit::g;     // the unit this lot is measured in
    std::optional<double> bought_amount; // in `unit`, > 0
    std::optional<double> usual_per_litre; // usual make-up, `unit` per litre: C0 of the dose. Dry lump: 5 g/L unless the studio says otherwise
    std::string place;                   // where kept
    std::string note;
    std::optional<Stamp> retired_at;
    Stamp made_at;                       // when this record was made
    std::string from_memory;             // names of fields typed from memory, separated by blanks

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("finish_kind", s.finish_kind);
        v("form", s.form);
        v("bought", s.bought_at);
        v("opened", s.opened_at);
        v("unit", s.unit);
        v("bought_amount", s.bought_amount);
        v("usual_per_litre", s.usual_per_litre);
        v("place", s.place);
        v("note", s.note);
        v("retired", s.retired_at);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// What the scale said was left, or what was taken out other than for a bath.
struct LotWeighing {
    static constexpr std::string_view kTable = "lot_weighing";
    Id<LotWeighing> id;
    Id<Lot> lot_id;
    Stamp at;
    std::optional<double> left_amount;     // in the lot's unit
    std::optional<double> spoiled_amount;  // thrown away since the last weighing
    std::string event;                     // "left open", "damp": what happened to the lot, if anything
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("lot_id", s.lot_id);
        v("at", s.at);
        v("left_amount", s.left_amount);
        v("spoiled_amount", s.spoiled_amount);
        v("event", s.event);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

template <>
struct EnumWords<LotForm> {
    static constexpr std::array<std::string_view, 5> words{"lump", "gel", "liquid", "solution", "other"};
};
template <>
struct EnumWords<AmountUnit> {
    static constexpr std::array<std::string_view, 3> words{"g", "ml", "drops"};
};

}  // namespace tonebath
