#include "window/panels/scales.hpp"

#include <cmath>

namespace tonebath::window {

namespace {
constexpr Colour kUnknownMetal{.r = 0xb0, .g = 0xb0, .b = 0xae};  // a neutral grey until the studio names a colour
}

TonePlace place_of_axis(double axis) {
    const double whole = std::floor(axis);
    return {.tone = static_cast<int>(whole), .share = static_cast<float>(axis - whole)};
}

void Scales::read(std::vector<app::ScaleView> views) {
    views_ = std::move(views);
    drawn_.clear();
    for (const app::ScaleView& view : views_) {
        DrawnScale scale{.name = view.name, .bare = colour_from_hex(view.bare_colour).value_or(kUnknownMetal)};
        for (const app::ScaleTone& tone : view.tones) {
            scale.tones.push_back({.word = tone.word, .colour = colour_from_hex(tone.colour)});
        }
        drawn_.emplace(view.id.text, std::move(scale));
    }
}

const DrawnScale* Scales::drawn(std::string_view id) const {
    const auto found = drawn_.find(id);
    return found == drawn_.end() ? nullptr : &found->second;
}

const app::ScaleView* Scales::view(std::string_view id) const {
    for (const app::ScaleView& view : views_) {
        if (view.id.text == id) {
            return &view;
        }
    }
    return nullptr;
}

}  // namespace tonebath::window
