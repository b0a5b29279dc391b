// A page to draw on, in mm from its upper left corner: cairo for lines, pango for letters.
#pragma once

#include "base/clock.hpp"

#include <memory>
#include <string>
#include <string_view>

struct _cairo;
struct _cairo_surface;

namespace tonebath::report {

struct Ink {
    double red = 0.10, green = 0.11, blue = 0.12;
};
inline constexpr Ink kInk{};
inline constexpr Ink kQuiet{0.33, 0.36, 0.36};
inline constexpr Ink kCopper{0.45, 0.21, 0.06};
inline constexpr Ink kLine{0.70, 0.70, 0.68};
// "#rrggbb"; anything else is `otherwise`.
[[nodiscard]] Ink ink_of(std::string_view colour, Ink otherwise);

enum class Side { left, middle, right };

struct Type {
    double size_mm = 3.6;  // of the em
    bool strong = false;
    Ink ink = kInk;
    Side side = Side::left;
    bool one_line = false;  // what does not fit ends in dots
};
// Digits of the text face are this share of its em high (Inter: capitals 2048 of 2816 units).
inline constexpr double kDigitHeight = 0.727;

struct Extent {
    double width = 0.0, height = 0.0;
};

class Canvas {
public:
    // Pages of this size, appended to `bytes` when the canvas is gone.
    Canvas(std::string& bytes, double width_mm, double height_mm, const std::string& title, const Stamp& made_at);
    Canvas(const Canvas&) = delete;
    Canvas& operator=(const Canvas&) = delete;
    ~Canvas();

    void next_page();
    // Wrapped at `width`; drawn with its upper left corner at (x, y).
    Extent write(double x, double y, double width, std::string_view text, const Type& type);
    [[nodiscard]] Extent measure(double width, std::string_view text, const Type& type);
    void fill(double x, double y, double width, double height, Ink ink);
    // From one colour at the left to another at the right.
    void blend(double x, double y, double width, double height, Ink from, Ink to);
    void frame(double x, double y, double width, double height, Ink ink, double line_mm);
    void line(double x1, double y1, double x2, double y2, Ink ink, double line_mm);
    void disc(double x, double y, double radius, Ink ink);
    // A QR code with its quiet zone, `side` mm square. False when the text does not fit into one.
    bool code(double x, double y, double side, const std::string& payload);

private:
    struct Free {
        void operator()(_cairo_surface* surface) const;
        void operator()(_cairo* context) const;
    };
    Extent text(double x, double y, double width, std::string_view text, const Type& type, bool drawn);
    std::unique_ptr<_cairo_surface, Free> surface_;
    std::unique_ptr<_cairo, Free> context_;
};

}  // namespace tonebath::report
