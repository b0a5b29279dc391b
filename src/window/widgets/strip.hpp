// The tone strip: one object that says where a piece is, where it should be, how sure we are and how far the film has
// come.
#pragma once

#include "window/widgets/ui.hpp"

namespace tonebath::window {

// A place on a scale: the tone and the share (0..1) of the way through it, by log dose.
struct TonePlace {
    int tone = 0;
    float share = 0.5F;
    friend bool operator==(const TonePlace&, const TonePlace&) = default;
};
struct ToneSpan {
    TonePlace from;
    TonePlace to;
};

enum class StripSize : std::uint8_t { row, small, plan, bench };

struct StripView {
    const DrawnScale* scale = nullptr;  // must outlive the call
    // Borders of the tones along the strip, 0..1, one more than there are tones; empty for equal widths. With borders
    // the strip is an axis: what stands before the first border is bare metal.
    std::vector<float> borders;
    std::optional<TonePlace> pin;  // where the piece is; none for an unknown tone
    std::string pin_words;
    bool pin_is_film = false;  // a dip under way: the pin rides the film's edge and the rest is covered
    std::optional<ToneSpan> aim;
    std::string aim_word;  // "aim" above the bracket; empty for none
    std::optional<ToneSpan> may_land;
    std::string may_land_words;  // "may land"
    std::optional<TonePlace> look;
    bool look_line = true;         // with the eye and its word
    std::vector<TonePlace> mates;  // white dots along the lower edge
    bool empty = false;            // nothing known yet: bare metal fading into the dark run
    bool words = true;             // under it, from small height on
    int bright_word = -1;          // the tone whose word is drawn in ink; -1: the pin's, else the aim's
    bool bare_end = true;
    std::string id;     // not empty: places can be clicked and reached by arrows
    std::string label;  // what it is, for the probe
};
struct StripTouch {
    bool clicked = false;
    bool activated = false;  // Enter or Space on the place under the keys
    TonePlace place;         // of the click, or of the keyboard mark
};
[[nodiscard]] float strip_height(const Ui& ui, StripSize size);
// r: the strip itself; brackets, pins and words stand outside it. Its height is taken from `size` when r is higher.
StripTouch tone_strip(Ui& ui, const Rect& r, const StripView& view, StripSize size);

// An upright strip in a lane: film grows downward. r: the run with its bare end on top.
struct LaneStripView {
    const DrawnScale* scale = nullptr;
    float film = 0;  // 0..1 of the run reached
    bool film_known = true;
    std::optional<std::pair<float, float>> aim;  // shares of the run
    bool in_rinse = false;                       // a small bowl is drawn round its lower half
};
void lane_strip(Ui& ui, const Rect& r, const LaneStripView& view);

// x of a place along the strip, px; and the place under an x.
[[nodiscard]] float strip_x(const Ui& ui, const Rect& r, const StripView& view, TonePlace place);
[[nodiscard]] TonePlace strip_place(const Ui& ui, const Rect& r, const StripView& view, float x);
// "amber", "purple to gunmetal".
[[nodiscard]] std::string span_words(const DrawnScale& scale, const ToneSpan& span);
// A bracket of two wires with feet turned inward, never closed. mid rect: the strip it stands over.
void tone_bracket(Ui& ui, float x0, float x1, float y0, float y1, float foot, float thickness, Colour c);

}  // namespace tonebath::window
