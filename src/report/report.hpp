// Something to be put on paper, as a value: what stands on it, not how it is drawn. PDF, text and JSON are written from it.
#pragma once

#include "base/clock.hpp"
#include "base/text.hpp"

#include <string>
#include <variant>
#include <vector>

namespace tonebath::report {

enum class PaperSize { a4, letter, a5 };

struct PageSize {
    double width_mm = 0.0, height_mm = 0.0;
};
// Upright. ISO 216; ANSI/ASME Y14.1 size A for Letter, 8.5 x 11 in.
[[nodiscard]] constexpr PageSize page_size(PaperSize size) {
    switch (size) {
        case PaperSize::letter: return {215.9, 279.4};
        case PaperSize::a5: return {148.0, 210.0};
        case PaperSize::a4: break;
    }
    return {210.0, 297.0};
}

struct Heading {
    std::string text;
};
// Sentences, one a line.
struct Lines {
    std::vector<std::string> lines;
};
struct Fact {
    std::string name, value;
};
struct Facts {
    std::vector<Fact> facts;
};
// Read at arm's length: digits at least 8 mm high at 100 %.
struct Figure {
    std::string name, value, note;
};
struct Figures {
    std::vector<Figure> figures;
};
struct StripTone {
    std::string word;
    std::string colour;  // "#rrggbb"; empty = words only
};
// The tone strip, bare metal first; the aim as a bracket.
struct Strip {
    std::vector<StripTone> tones;
    std::string bare_colour;
    int aim = -1;  // index of the tone; -1 = none
};
struct Table {
    std::string name;
    std::vector<std::string> head;
    std::vector<std::vector<std::string>> rows;  // as wide as the head
    bool arms_length = false;                    // digits at least 8 mm high
};
// What can hurt someone, in a frame.
struct Cautions {
    std::vector<std::string> lines;
};

using Block = std::variant<Heading, Lines, Facts, Figures, Strip, Table, Cautions>;

struct Report {
    std::string kind;   // "bench card": stable, for JSON
    std::string title;  // largest on the first page
    std::string line;   // under it
    std::vector<Block> blocks;
    std::string foot;   // on every page, beside the date and the page's number
    Stamp made_at;
    double letters = 1.0;  // times the usual size: 1 is read at a desk, more hangs on a door; digits that are read at arm's length stay
};

}  // namespace tonebath::report

namespace tonebath {

template <>
struct EnumWords<report::PaperSize> {
    static constexpr std::array<std::string_view, 3> words{"a4", "letter", "a5"};
};

}  // namespace tonebath
