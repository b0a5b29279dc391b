// Marks: a shape for each state, with its word always beside it. The triangle is danger or a refused start, nothing
// else.
#pragma once

#include "window/widgets/ui.hpp"

namespace tonebath::window {

enum class Mark : std::uint8_t {
    done,
    look,
    wait,
    owed,
    unknown,
    ask,
    over,
    now,
    warn,
    stop,
    stop_answered,
    must,
    advise,
    open,  // levels of a checklist item, and its open ring at the right
};
[[nodiscard]] std::string_view mark_word(Mark mark);  // "done", "look", "waiting", ... the word that stands with it
[[nodiscard]] Colour mark_colour(const Ui& ui, Mark mark, bool on_paper = false);

// The shape alone. radius in px: Ui::em(0.625) is the everyday size.
void draw_mark(Ui& ui, Mark mark, Vec2 centre, float radius, bool on_paper = false);
// The shape with words to its right; returns the width used. `centre` is the middle of the shape.
float mark_with_word(Ui& ui, Mark mark, Vec2 centre, std::string_view words = {}, Type type = Type::label);
// The shape above its word, both ending at the right edge x: the state column of a list.
void mark_over_word(Ui& ui, Mark mark, float right_x, float mark_mid_y, float word_baseline, std::string_view words);

// A stone: octagon with a facet line.
enum class StoneState : std::uint8_t { unharmed, harmed, not_seen, plain };
struct StoneView {
    StoneState state = StoneState::plain;
    int coats = 0;              // finished coats, one more outline each
    bool being_coated = false;  // the outermost outline is dashed copper, with a pin above
};
void draw_stone(Ui& ui, const StoneView& stone, Vec2 centre, float radius);

}  // namespace tonebath::window
