// Tone scales as the strip draws them, kept by id between frames.
#pragma once

#include "app/views/pieces_view.hpp"
#include "app/views/scales_view.hpp"
#include "window/widgets/strip.hpp"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::window {

class Scales {
public:
    void read(std::vector<app::ScaleView> views);
    // nullptr for an unknown id.
    [[nodiscard]] const DrawnScale* drawn(std::string_view id) const;
    [[nodiscard]] const app::ScaleView* view(std::string_view id) const;
    [[nodiscard]] const std::vector<app::ScaleView>& all() const { return views_; }

private:
    std::vector<app::ScaleView> views_;
    std::map<std::string, DrawnScale, std::less<>> drawn_;
};

[[nodiscard]] inline TonePlace strip_place_of(const app::ScalePlace& place) {
    return {.tone = place.tone, .share = static_cast<float>(place.share)};
}
// A place on the axis of tones: 2.4 is four tenths of the way through the tone at position 2.
[[nodiscard]] TonePlace place_of_axis(double axis);
// The whole tone, as a bracket.
[[nodiscard]] inline ToneSpan whole_tone(int tone) { return {{tone, 0.0F}, {tone, 1.0F}}; }

}  // namespace tonebath::window
