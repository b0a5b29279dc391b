// Number tags: the shape says what is numbered. The same shapes stand on printed labels.
#pragma once

#include "window/widgets/ui.hpp"

#include <span>

namespace tonebath::window {

enum class TagShape : std::uint8_t { piece, bath, lot, bottle, batch, seat };
enum class TagFill : std::uint8_t { paper, inverted };  // inverted: ink on paper pages (the cue)

struct TagStyle {
    float height_em = 1.75;  // 1.75 in rows, 2 in text, 2.5 at the head of a page
    float width_em = 0;      // 0: as wide as its words
    TagFill fill = TagFill::paper;
};
// Width it would take, px.
[[nodiscard]] float tag_width(const Ui& ui, TagShape shape, std::string_view words, const TagStyle& style = {});
// Drawn with its left edge at x and its middle at mid_y; returns its place.
Rect number_tag(Ui& ui, TagShape shape, std::string_view words, float x, float mid_y, const TagStyle& style = {});

enum class SeatState : std::uint8_t { briefed, not_briefed, watching, in_bath, next_in, waiting };
void seat_disc(Ui& ui, SeatState state, std::string_view number, Vec2 centre, float radius);

// The outline of a tag as a clockwise polygon (also used by the label printer's preview).
[[nodiscard]] std::vector<Vec2> tag_outline(TagShape shape, const Rect& r);

}  // namespace tonebath::window
