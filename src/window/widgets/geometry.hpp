// Points and rectangles on the screen, in pixels, y downward; and how a page is cut into places.
#pragma once

#include <cmath>
#include <vector>

namespace tonebath::window {

struct Vec2 {
    float x = 0;
    float y = 0;
    friend bool operator==(const Vec2&, const Vec2&) = default;
};
inline Vec2 operator+(Vec2 a, Vec2 b) {
    return {a.x + b.x, a.y + b.y};
}
inline Vec2 operator-(Vec2 a, Vec2 b) {
    return {a.x - b.x, a.y - b.y};
}
inline Vec2 operator*(Vec2 a, float k) {
    return {a.x * k, a.y * k};
}

// A rectangle by its left, top, right and bottom edges. The cut_* functions take a piece off one side, return it, and
// leave the rest in the rectangle they are called on, so that a page reads as a list of cuts. Amounts are pixels: pass
// Ui::em(n). A cut never takes more than there is.
struct Rect {
    float x0 = 0;
    float y0 = 0;
    float x1 = 0;
    float y1 = 0;

    [[nodiscard]] static Rect at(float x, float y, float w, float h) { return {x, y, x + w, y + h}; }
    [[nodiscard]] float w() const { return x1 - x0; }
    [[nodiscard]] float h() const { return y1 - y0; }
    [[nodiscard]] float mid_x() const { return (x0 + x1) * 0.5F; }
    [[nodiscard]] float mid_y() const { return (y0 + y1) * 0.5F; }
    [[nodiscard]] Vec2 mid() const { return {mid_x(), mid_y()}; }
    [[nodiscard]] bool has(Vec2 p) const { return p.x >= x0 && p.x < x1 && p.y >= y0 && p.y < y1; }
    [[nodiscard]] bool empty() const { return x1 <= x0 || y1 <= y0; }

    Rect cut_left(float amount);
    Rect cut_right(float amount);
    Rect cut_top(float amount);
    Rect cut_bottom(float amount);
    [[nodiscard]] Rect shrunk(float by) const { return {x0 + by, y0 + by, x1 - by, y1 - by}; }
    [[nodiscard]] Rect shrunk(float across, float down) const {
        return {x0 + across, y0 + down, x1 - across, y1 - down};
    }
    [[nodiscard]] Rect grown(float by) const { return shrunk(-by); }
    [[nodiscard]] Rect moved(float dx, float dy) const { return {x0 + dx, y0 + dy, x1 + dx, y1 + dy}; }
    [[nodiscard]] Rect overlap(const Rect& other) const;
    // A place of the given size in the middle of this one.
    [[nodiscard]] Rect centred(float width, float height) const;
    // Edges moved to whole pixels.
    [[nodiscard]] Rect snapped() const { return {std::round(x0), std::round(y0), std::round(x1), std::round(y1)}; }
    // Equal rows or columns with the given gap; columns by shares when shares are given ({2, 1}: two thirds, one
    // third).
    [[nodiscard]] std::vector<Rect> rows(int count, float gap) const;
    [[nodiscard]] std::vector<Rect> columns(int count, float gap) const;
    [[nodiscard]] std::vector<Rect> columns(const std::vector<float>& shares, float gap) const;

    friend bool operator==(const Rect&, const Rect&) = default;
};

}  // namespace tonebath::window
