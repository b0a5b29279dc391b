// The rail: a copper wire across the top, eight page tags threaded on it, the loop ring at the left, and at the right
// one fact and the clock. And the band that keeps a running dip in sight on every other page.
#pragma once

#include "window/widgets/buttons.hpp"
#include "window/widgets/strip.hpp"
#include "window/widgets/tags.hpp"

namespace tonebath::window {

enum class LoopArc : std::uint8_t { record, learn, plan, dip };  // clockwise from the upper right
[[nodiscard]] std::string_view loop_word(LoopArc arc);

struct RailView {
    std::vector<std::string> pages;  // "Today" ... "Safety": eight
    int chosen = 0;
    LoopArc arc = LoopArc::plan;
    std::string fact;       // "room 17.0 °C, 58 % RH"; dropped when narrow
    std::string who;        // "MK": who is at the bench, or words that nobody is named; always shown
    std::string clock;      // "09:42"
    bool only_alt = false;  // during a dip only Alt with a digit turns the page
    std::string aside;      // "invented studio": under the fact, or in its place
};
struct RailResult {
    std::optional<int> page;  // the page asked for, by key or click
};
RailResult rail(Ui& ui, const RailView& view);
[[nodiscard]] Rect page_rect(const Ui& ui);              // under the rail and above the foot, inside the margins
[[nodiscard]] float rail_tag_x(const Ui& ui, int page);  // middle of a tag

// While a dip runs and another page is open the foot becomes this band.
struct DipBandView {
    TagShape shape = TagShape::piece;
    std::string tag;  // "L-131"
    StripView strip;
    std::string seconds;    // "23 s"
    std::string key_words;  // "lift out L-131"
};
BenchPress dip_band(Ui& ui, const DipBandView& view);
[[nodiscard]] float dip_band_height(const Ui& ui);

void wire_across(Ui& ui, float x0, float x1, float mid_y);  // 3 px copper wire with its light edge
void wire_down(Ui& ui, float mid_x, float y0, float y1, float thickness_px = 2);

}  // namespace tonebath::window
