// Pieces and their parts, batches and orders, and the stones on them.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"
#include "base/text.hpp"
#include "base/units.hpp"
#include "model/tone.hpp"

#include <optional>
#include <string>

namespace tonebath {

struct Order {
    static constexpr std::string_view kTable = "client_order";  // ORDER is a word of SQL
    Id<Order> id;
    std::string number;                     // "R-07"; unique in the log
    std::optional<Id<Order>> repeat_of;
    std::optional<Id<Target>> target_id;
    std::optional<Stamp> received_at;
    std::optional<Stamp> wanted_by;
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("repeat_of", s.repeat_of);
        v("target_id", s.target_id);
        v("received", s.received_at);
        v("wanted_by", s.wanted_by);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

struct Batch {
    static constexpr std::string_view kTable = "batch";
    Id<Batch> id;
    std::string number;                     // "31"; unique in the log
    std::string design;
    std::optional<Id<Order>> order_id;
    std::optional<Id<Target>> target_id;
    std::string note;
    Stamp made_at;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("design", s.design);
        v("order_id", s.order_id);
        v("target_id", s.target_id);
        v("note", s.note);
        v("made", s.made_at);
    }
};

struct Piece {
    static constexpr std::string_view kTable = "piece";
    Id<Piece> id;
    std::string number;                     // on the tag: "L-058". Unique in the log
    std::string design;
    std::optional<Id<Batch>> batch_id;
    std::optional<int> rack;                // rack of the batch, from 1
    std::optional<Id<Order>> order_id;
    std::optional<Id<Target>> target_id;    // the piece's own, when it differs from the batch's
    std::optional<Stamp> assembled_at;      // parts and stones joined; unknown or not yet = none
    std::optional<Stamp> sold_at;
    bool keep_piece = false;                // reference piece never sold
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("design", s.design);
        v("batch_id", s.batch_id);
        v("rack", s.rack);
        v("order_id", s.order_id);
        v("target_id", s.target_id);
        v("assembled", s.assembled_at);
        v("sold", s.sold_at);
        v("keep_piece", s.keep_piece);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// One metal or surface of a piece. A piece of one metal has one part.
struct Part {
    static constexpr std::string_view kTable = "part";
    Id<Part> id;
    Id<Piece> piece_id;
    std::string name;                       // whole, lid, cup, tabs, base …; unique on its piece
    std::optional<Id<Metal>> metal_id;      // unknown is allowed and flagged
    std::string surface;
    std::optional<double> area_cm2;         // > 0
    std::optional<Stamp> assembled_at;      // the day this part was joined to the piece
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("piece_id", s.piece_id);
        v("name", s.name);
        v("metal_id", s.metal_id);
        v("surface", s.surface);
        v("area_cm2", s.area_cm2);
        v("assembled", s.assembled_at);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

enum class Backing { none, foil, vacuum_metal, coating, doublet, unknown };

struct Stone {
    static constexpr std::string_view kTable = "stone";
    Id<Stone> id;
    std::string number;                     // unique in the log
    std::string kind;                       // foil crystal, pearl, turquoise …
    std::string shape;                      // point-back, flat-back, cabochon …
    std::optional<Millimetres> size;
    Backing backing = Backing::unknown;
    std::string source_lot;
    std::optional<Id<Piece>> piece_id;      // a stone is on one piece at a time
    std::optional<Stamp> set_at;            // since when it is on that piece
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("kind", s.kind);
        v("shape", s.shape);
        v("size_mm", s.size);
        v("backing", s.backing);
        v("source_lot", s.source_lot);
        v("piece_id", s.piece_id);
        v("set", s.set_at);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

template <>
struct EnumWords<Backing> {
    static constexpr std::array<std::string_view, 6> words{"none", "foil", "vacuum metal", "coating", "doublet", "unknown"};
};

}  // namespace tonebath
