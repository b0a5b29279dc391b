// What befell stones: coats from their bottles, looks taken later, pieces they were on before.
#pragma once

#include "model/piece.hpp"
#include "model/work.hpp"

#include <optional>
#include <string>

namespace tonebath {

enum class SeenAs { unharmed, worn, lifted, clouded, dulled, chipped, gone, not_seen };
enum class Zone { unknown, point, side, edge, face };

// A bottle of clear lacquer, as its label and her own experience have it.
struct Bottle {
    static constexpr std::string_view kTable = "bottle";
    Id<Bottle> id;
    std::string number;  // "LQ-1"; unique in the log
    std::string kind;  // "brushed lacquer", "two-part epoxy" …
    std::optional<Stamp> opened_at;
    std::optional<Stamp> emptied_at;
    std::optional<Seconds> recoat;  // shortest wait from the start of one coat to the start of the next
    std::optional<Seconds> cure;  // from the last coat until hard enough for the bath
    std::optional<double> solids_percent;  // of the volume; 0 to 100
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("kind", s.kind);
        v("opened", s.opened_at);
        v("emptied", s.emptied_at);
        v("recoat_s", s.recoat);
        v("cure_s", s.cure);
        v("solids_percent", s.solids_percent);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// One evening at the coats: so many stones in rows, one bottle, the room's air.
struct Coating {
    static constexpr std::string_view kTable = "coating";
    Id<Coating> id;
    std::string number;  // unique in the log
    std::optional<Id<Bottle>> bottle_id;
    Stamp started_at;
    std::optional<Stamp> ended_at;
    int stones = 1;  // places in the rows, from 1
    int row = 9;  // stones in a row
    int coats = 3;  // wanted on each
    bool by_row = false;  // one press for a row, not for a stone
    Seconds each = Seconds::from_seconds(25.0);  // brushing one stone
    Seconds wait = Seconds::from_minutes(10.0);  // from the start of a coat to the start of the stone's next
    Seconds cure = Seconds::from_minutes(720.0);
    std::optional<Celsius> room;
    std::optional<double> humidity_percent;  // relative
    std::string laid_out;  // numbers of the stones in the order of the places, one a line; may be empty
    std::string check_said;  // what was answered before it: solvent, ignition, air
    std::optional<Id<Person>> who;
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("number", s.number);
        v("bottle_id", s.bottle_id);
        v("started", s.started_at);
        v("ended", s.ended_at);
        v("stones", s.stones);
        v("row", s.row);
        v("coats", s.coats);
        v("by_row", s.by_row);
        v("each_s", s.each);
        v("wait_s", s.wait);
        v("cure_s", s.cure);
        v("room_c", s.room);
        v("humidity_percent", s.humidity_percent);
        v("laid_out", s.laid_out);
        v("check_said", s.check_said);
        v("who", s.who);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// One layer on one stone. At a coating it has a place in the rows; a stone that was passed over has a row as well.
struct Coat {
    static constexpr std::string_view kTable = "coat";
    Id<Coat> id;
    std::optional<Id<Coating>> coating_id;
    std::optional<Id<Stone>> stone_id;
    std::optional<Id<Bottle>> bottle_id;
    std::optional<int> place;  // in the rows, from 1
    int layer = 1;  // first coat, second coat …
    Stamp at;  // begun
    bool skipped = false;  // passed over: no coat
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("coating_id", s.coating_id);
        v("stone_id", s.stone_id);
        v("bottle_id", s.bottle_id);
        v("place", s.place);
        v("layer", s.layer);
        v("at", s.at);
        v("skipped", s.skipped);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// A look at a stone after it was out in the world, or that it was asked for and not seen.
struct FollowUp {
    static constexpr std::string_view kTable = "follow_up";
    Id<FollowUp> id;
    Id<Stone> stone_id;
    Stamp at;
    SeenAs seen = SeenAs::not_seen;
    Zone zone = Zone::unknown;  // where it is harmed
    std::optional<Id<Person>> who;
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("stone_id", s.stone_id);
        v("at", s.at);
        v("seen", s.seen);
        v("zone", s.zone);
        v("who", s.who);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

// A piece that a stone was on before the present one: its dips of that time still count.
struct StoneStay {
    static constexpr std::string_view kTable = "stone_stay";
    Id<StoneStay> id;
    Id<Stone> stone_id;
    Id<Piece> piece_id;
    std::optional<Stamp> set_at;
    Stamp off_at;
    std::string note;
    Stamp made_at;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("stone_id", s.stone_id);
        v("piece_id", s.piece_id);
        v("set", s.set_at);
        v("off", s.off_at);
        v("note", s.note);
        v("made", s.made_at);
    }
};

template <>
struct EnumWords<SeenAs> {
    static constexpr std::array<std::string_view, 8> words{"unharmed", "worn",    "lifted", "clouded",
                                                           "dulled",   "chipped", "gone",   "not seen"};
};
template <>
struct EnumWords<Zone> {
    static constexpr std::array<std::string_view, 5> words{"unknown", "point", "side", "edge", "face"};
};

}  // namespace tonebath
