// The brush: shapes and letters on one draw list, on whole pixels where edges are straight. Sizes in pixels.
#pragma once

#include "window/widgets/fonts.hpp"
#include "window/widgets/geometry.hpp"
#include "window/widgets/probe.hpp"
#include "window/widgets/theme.hpp"

#include <span>
#include <string_view>
#include <vector>

struct ImDrawList;

namespace tonebath::window {

enum class Align : std::uint8_t { left, centre, right };

class Painter {
public:
    Painter() = default;
    Painter(ImDrawList& list, const FontSet& fonts, const Look& look, float scale, Probe* probe);

    // Straight things
    void fill(const Rect& r, Colour c, float radius = 0);
    void outline(const Rect& r, Colour c, float thickness, float radius = 0);  // drawn inside the edge
    void hline(float x0, float x1, float y, Colour c, float thickness);        // y: top edge of the line
    void vline(float x, float y0, float y1, Colour c, float thickness);        // x: left edge of the line
    void gradient_across(const Rect& r, Colour left, Colour right);
    void gradient_down(const Rect& r, Colour top, Colour bottom);

    // Free things (antialiased)
    void line(Vec2 a, Vec2 b, Colour c, float thickness, bool round_ends = true);
    void polyline(std::span<const Vec2> points, Colour c, float thickness, bool closed = false);
    void polygon(std::span<const Vec2> clockwise, Colour c);                        // convex
    void band(std::span<const Vec2> upper, std::span<const Vec2> lower, Colour c);  // between two lines of equal length
    void circle(Vec2 centre, float radius, Colour c);
    void ring(Vec2 centre, float radius, Colour c, float thickness);  // radius: middle of the line
    void arc(Vec2 centre, float radius, float from_deg, float to_deg, Colour c, float thickness,
             bool round_ends = false);
    void dashed_ring(Vec2 centre, float radius, Colour c, float thickness, float dash, float gap);
    void dashed(std::span<const Vec2> points, Colour c, float thickness, float dash, float gap, bool round_ends = true);
    void octagon(Vec2 centre, float radius, Colour c);
    void octagon_outline(Vec2 centre, float radius, Colour c, float thickness);
    void quadratic(Vec2 a, Vec2 control, Vec2 b, std::vector<Vec2>& out) const;  // points of a curve, for polyline

    // Letters. at.y is the baseline. Returns the width drawn.
    float text(Type type, Colour c, Vec2 at, std::string_view utf8, Align align = Align::left);
    // One line in the middle of a rectangle's height (by the capitals), cut with an ellipsis when it is too wide.
    float text_in(Type type, Colour c, const Rect& r, std::string_view utf8, Align align = Align::left);
    // Lines broken at spaces to the width; returns the height used. line_px 0: the type's own.
    float text_wrapped(Type type, Colour c, Vec2 first_baseline, float width, std::string_view utf8,
                       Align align = Align::left, float line_px = 0);
    [[nodiscard]] float text_width(Type type, std::string_view utf8) const;
    [[nodiscard]] std::vector<std::string> wrap(Type type, float width, std::string_view utf8) const;
    [[nodiscard]] std::string ellipsis(Type type, float width, std::string_view utf8) const;
    void icon(Icon icon, Colour c, Vec2 centre, Type type = Type::lead);

    void push_clip(const Rect& r);
    void pop_clip();
    // What the letters that follow stand on, for the contrast check.
    void push_surface(Colour c) { surfaces_.push_back(c); }
    void pop_surface() { surfaces_.pop_back(); }
    [[nodiscard]] Colour surface() const { return surfaces_.empty() ? Colour{} : surfaces_.back(); }

    [[nodiscard]] float px(float at_scale_1) const;                                   // whole pixels, at least 1
    [[nodiscard]] float fine(float at_scale_1) const { return at_scale_1 * scale_; }  // antialiased widths
    [[nodiscard]] const FontSet& fonts() const { return *fonts_; }
    void set_layer(int layer) { layer_ = layer; }

private:
    ImDrawList* list_ = nullptr;
    const FontSet* fonts_ = nullptr;
    const Look* look_ = nullptr;
    float scale_ = 1;
    Probe* probe_ = nullptr;
    std::vector<Colour> surfaces_;
    std::vector<Rect> clips_;
    int layer_ = 0;
};

}  // namespace tonebath::window
