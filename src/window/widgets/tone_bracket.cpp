#include "window/widgets/strip.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

std::string span_words(const DrawnScale& scale, const ToneSpan& span) {
    const auto count = static_cast<int>(scale.tones.size());
    const std::string& from = scale.tones[static_cast<std::size_t>(std::clamp(span.from.tone, 0, count - 1))].word;
    const std::string& to = scale.tones[static_cast<std::size_t>(std::clamp(span.to.tone, 0, count - 1))].word;
    return from == to ? from : from + " to " + to;
}

void tone_bracket(Ui& ui, float x0, float x1, float y0, float y1, float foot, float thickness, Colour c) {
    Painter& paint = ui.paint();
    const float t = paint.px(thickness);
    const float key = paint.px(ui.look().stroke.keyline);
    const Colour keyline = paint.surface().faded(0.75F);
    foot += t * 0.5F;
    y0 -= std::floor(t * 0.5F);
    y1 += std::floor(t * 0.5F);
    // Half a gap between the feet at least, so that it is never closed into a box.
    foot = std::min(foot, std::max(t, (x1 - x0) * 0.5F - paint.px(2)));
    for (const bool left : {true, false}) {
        const float x = std::round(left ? x0 : x1) - std::floor(t * 0.5F);
        const Rect wall{x, y0, x + t, y1};
        const float toe = left ? x + std::round(foot) : x + t - std::round(foot);
        const Rect feet_x = left ? Rect{x + t, 0, toe, 0} : Rect{toe, 0, x, 0};
        paint.fill(wall.grown(key), keyline);
        for (const float y : {y0, y1 - t}) {
            const Rect clear = left ? Rect{feet_x.x0 + key, y - key, feet_x.x1 + key, y + t + key}
                                    : Rect{feet_x.x0 - key, y - key, feet_x.x1 - key, y + t + key};
            paint.fill(clear, keyline);
        }
        paint.fill(wall, c);
        for (const float y : {y0, y1 - t}) {
            paint.fill({feet_x.x0, y, feet_x.x1, y + t}, c);
        }
    }
}

}  // namespace tonebath::window
