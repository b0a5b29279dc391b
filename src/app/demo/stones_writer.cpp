#include "app/demo/writers.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace tonebath::app {

namespace {

struct OtherStone {
    const char* kind;
    const char* shape;
    double size_mm;
    Backing backing;
    int many;
};

// On the Lanterns that carry no pearl, in this order; the first twelve of them carry two.
constexpr std::array<OtherStone, 6> kOtherStones{{{"turquoise", "cabochon", 8.0, Backing::none, 3},
                                                  {"opal doublet", "cabochon", 7.0, Backing::doublet, 2},
                                                  {"labradorite", "cabochon", 9.0, Backing::none, 8},
                                                  {"garnet", "faceted", 5.0, Backing::none, 7},
                                                  {"moonstone", "cabochon", 8.0, Backing::none, 5},
                                                  {"onyx", "cabochon", 9.0, Backing::none, 4}}};

const OtherStone& other_stone(int index) {
    int before = 0;
    for (const OtherStone& stone : kOtherStones) {
        before += stone.many;
        if (index < before) {
            return stone;
        }
    }
    return kOtherStones.back();
}

// Lanterns with a pearl: four in a short bath, five in a long one (P6). Of the long ones three were seen dulled.
bool has_pearl(std::string_view number) {
    static constexpr std::array<std::string_view, 9> kWith{"N-003", "N-004", "N-005", "N-006", "N-008",
                                                           "N-009", "N-010", "N-011", "N-012"};
    return std::find(kWith.begin(), kWith.end(), number) != kWith.end();
}
const char* pearl_note(std::string_view number) {
    return number == "N-009" || number == "N-011" || number == "N-012" ? "seen 60 days later: dulled"
                                                                       : "seen 60 days later: fine";
}

class StoneWriter {
public:
    StoneWriter(DemoBook& book, const DemoPiece& piece, const std::optional<Stamp>& set_at, const Stamp& made)
        : book_(book), piece_(piece), set_at_(set_at), made_(made) {}

    void foil(const char* shape, double size_mm) {
        Stone stone;
        stone.number = fmt::format("F-{:03}", ++book_.stones);
        stone.kind = "foil crystal";
        stone.shape = shape;
        stone.size = Millimetres::from_mm(size_mm);
        stone.backing = Backing::foil;
        put(stone);
    }

    void other(const OtherStone& kind, const char* note) {
        Stone stone;
        stone.number = fmt::format("O-{:03}", ++book_.other_stones);
        stone.kind = kind.kind;
        stone.shape = kind.shape;
        stone.size = Millimetres::from_mm(kind.size_mm);
        stone.backing = kind.backing;
        stone.note = note;
        put(stone);
    }

private:
    void put(Stone& stone) {
        stone.id = book_.id<Stone>(made_);
        if (set_at_) {
            stone.piece_id = piece_.record.id;
            stone.set_at = set_at_;
        } else if (stone.note.empty()) {
            stone.note = "waits for " + piece_.record.number;
        }
        stone.made_at = made_;
        store::insert(book_.log, stone);
    }

    DemoBook& book_;
    const DemoPiece& piece_;
    const std::optional<Stamp>& set_at_;
    Stamp made_;
};

}  // namespace

void write_stones(DemoBook& book, const DemoPiece& piece, const std::optional<Stamp>& set_at, const Stamp& made) {
    StoneWriter writer(book, piece, set_at, made);
    const std::string& design = piece.record.design;
    const std::string& number = piece.record.number;
    if (design == "Limpet") {
        writer.foil("point-back", 14.0);
    } else if (design == "Breakwater") {
        writer.foil("point-back", 12.0);
    } else if (design == "Samphire" && number <= "P-009") {
        writer.foil("flat-back", 6.0);
        writer.foil("flat-back", 6.0);
    } else if (design == "Lantern" && has_pearl(number)) {
        writer.other({"pearl", "half-drilled", 7.0, Backing::none, 9}, pearl_note(number));
    } else if (design == "Lantern") {
        // So many stones are out already; one that makes a pair takes the one 17 places further on.
        const int place = book.bare_lanterns++;
        const OtherStone& one = other_stone(place);
        writer.other(one, one.backing == Backing::doublet ? "seen 60 days later: fine" : "");
        if (place < 12) {
            writer.other(other_stone(17 + place), "");
        }
    }
}

}  // namespace tonebath::app
