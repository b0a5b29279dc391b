// A figure moved along a line: by pointer, and by the arrows while it has the keys.
#pragma once

#include "window/widgets/ui.hpp"

#include <string>
#include <vector>

namespace tonebath::window {

struct SliderView {
    std::string id;
    std::string label;                   // for the probe
    std::vector<double> stops;           // rising; the handle rests on one of them
    std::string value;                   // the figure where it stands, with its unit
    std::string low, high;               // words under both ends
    std::optional<std::size_t> marked;   // a stop that stands for what was: a tick under the line
    std::string marked_words;
    bool arrows_always = false;          // left and right move it whenever no text is typed
};
// Arrows: a stop; with Shift ten; Home and End, where nothing before it took them: the ends. True when `at` (a place in stops) moved.
bool slider(Ui& ui, const Rect& r, const SliderView& view, std::size_t& at);
[[nodiscard]] float slider_height(const Ui& ui);

}  // namespace tonebath::window
