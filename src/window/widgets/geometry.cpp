#include "window/widgets/geometry.hpp"

#include <algorithm>

namespace tonebath::window {

Rect Rect::cut_left(float amount) {
    const float take = std::clamp(amount, 0.0F, std::max(0.0F, w()));
    const Rect piece{x0, y0, x0 + take, y1};
    x0 += take;
    return piece;
}

Rect Rect::cut_right(float amount) {
    const float take = std::clamp(amount, 0.0F, std::max(0.0F, w()));
    const Rect piece{x1 - take, y0, x1, y1};
    x1 -= take;
    return piece;
}

Rect Rect::cut_top(float amount) {
    const float take = std::clamp(amount, 0.0F, std::max(0.0F, h()));
    const Rect piece{x0, y0, x1, y0 + take};
    y0 += take;
    return piece;
}

Rect Rect::cut_bottom(float amount) {
    const float take = std::clamp(amount, 0.0F, std::max(0.0F, h()));
    const Rect piece{x0, y1 - take, x1, y1};
    y1 -= take;
    return piece;
}

Rect Rect::overlap(const Rect& other) const {
    return {std::max(x0, other.x0), std::max(y0, other.y0), std::min(x1, other.x1), std::min(y1, other.y1)};
}

Rect Rect::centred(float width, float height) const {
    const float x = std::round(mid_x() - width * 0.5F);
    const float y = std::round(mid_y() - height * 0.5F);
    return {x, y, x + width, y + height};
}

std::vector<Rect> Rect::rows(int count, float gap) const {
    std::vector<Rect> out;
    const float each =
        (h() - gap * static_cast<float>(std::max(0, count - 1))) / static_cast<float>(std::max(1, count));
    for (int i = 0; i < count; ++i) {
        const float top = y0 + (each + gap) * static_cast<float>(i);
        out.push_back(Rect{x0, std::round(top), x1, std::round(top + each)});
    }
    return out;
}

std::vector<Rect> Rect::columns(int count, float gap) const {
    return columns(std::vector<float>(static_cast<std::size_t>(std::max(0, count)), 1.0F), gap);
}

std::vector<Rect> Rect::columns(const std::vector<float>& shares, float gap) const {
    float sum = 0;
    for (const float share : shares) {
        sum += share;
    }
    std::vector<Rect> out;
    if (shares.empty() || sum <= 0) {
        return out;
    }
    const float free = w() - gap * static_cast<float>(shares.size() - 1);
    float x = x0;
    for (const float share : shares) {
        const float width = free * share / sum;
        out.push_back(Rect{std::round(x), y0, std::round(x + width), y1});
        x += width + gap;
    }
    return out;
}

}  // namespace tonebath::window
