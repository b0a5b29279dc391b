#include "window/widgets/paint.hpp"

#include <imgui.h>

#include <algorithm>
#include <numbers>

namespace tonebath::window {

namespace {

ImVec2 im(Vec2 v) {
    return {v.x, v.y};
}

float radians(float degrees) {
    return degrees * std::numbers::pi_v<float> / 180.0F;
}

float distance(Vec2 a, Vec2 b) {
    return std::hypot(b.x - a.x, b.y - a.y);
}

std::vector<Vec2> octagon_points(Vec2 c, float radius) {
    std::vector<Vec2> out;
    for (int i = 0; i < 8; ++i) {
        const float angle = radians(22.5F + 45.0F * static_cast<float>(i));
        out.push_back({c.x + radius * std::cos(angle), c.y + radius * std::sin(angle)});
    }
    return out;
}

}  // namespace

Painter::Painter(ImDrawList& list, const FontSet& fonts, const Look& look, float scale, Probe* probe)
    : list_(&list), fonts_(&fonts), look_(&look), scale_(scale), probe_(probe) {}

float Painter::px(float at_scale_1) const {
    return std::max(1.0F, std::round(at_scale_1 * scale_));
}

void Painter::fill(const Rect& r, Colour c, float radius) {
    const Rect s = r.snapped();
    if (!s.empty()) {
        list_->AddRectFilled({s.x0, s.y0}, {s.x1, s.y1}, c.packed(), std::round(radius));
    }
}

void Painter::outline(const Rect& r, Colour c, float thickness, float radius) {
    const Rect s = r.snapped();
    if (radius <= 0) {
        list_->AddRectFilled({s.x0, s.y0}, {s.x1, s.y0 + thickness}, c.packed());
        list_->AddRectFilled({s.x0, s.y1 - thickness}, {s.x1, s.y1}, c.packed());
        list_->AddRectFilled({s.x0, s.y0 + thickness}, {s.x0 + thickness, s.y1 - thickness}, c.packed());
        list_->AddRectFilled({s.x1 - thickness, s.y0 + thickness}, {s.x1, s.y1 - thickness}, c.packed());
        return;
    }
    const Rect middle = s.shrunk(thickness * 0.5F);
    list_->PathRect({middle.x0, middle.y0}, {middle.x1, middle.y1}, std::max(0.5F, radius - thickness * 0.5F));
    list_->PathStroke(c.packed(), ImDrawFlags_Closed, thickness);
}

void Painter::hline(float x0, float x1, float y, Colour c, float thickness) {
    const float top = std::round(y);
    list_->AddRectFilled({std::round(x0), top}, {std::round(x1), top + px(thickness)}, c.packed());
}

void Painter::vline(float x, float y0, float y1, Colour c, float thickness) {
    const float left = std::round(x);
    list_->AddRectFilled({left, std::round(y0)}, {left + px(thickness), std::round(y1)}, c.packed());
}

void Painter::gradient_across(const Rect& r, Colour left, Colour right) {
    const Rect s = r.snapped();
    if (!s.empty()) {
        list_->AddRectFilledMultiColor({s.x0, s.y0}, {s.x1, s.y1}, left.packed(), right.packed(), right.packed(),
                                       left.packed());
    }
}

void Painter::gradient_down(const Rect& r, Colour top, Colour bottom) {
    const Rect s = r.snapped();
    if (!s.empty()) {
        list_->AddRectFilledMultiColor({s.x0, s.y0}, {s.x1, s.y1}, top.packed(), top.packed(), bottom.packed(),
                                       bottom.packed());
    }
}

void Painter::line(Vec2 a, Vec2 b, Colour c, float thickness, bool round_ends) {
    list_->PathLineTo(im(a));
    list_->PathLineTo(im(b));
    list_->PathStroke(c.packed(), ImDrawFlags_None, thickness);
    if (round_ends && thickness > 1.6F && c.a == 255) {
        list_->AddCircleFilled(im(a), thickness * 0.5F, c.packed());
        list_->AddCircleFilled(im(b), thickness * 0.5F, c.packed());
    }
}

void Painter::polyline(std::span<const Vec2> points, Colour c, float thickness, bool closed) {
    if (points.size() < 2) {
        return;
    }
    for (const Vec2 p : points) {
        list_->PathLineToMergeDuplicate(im(p));
    }
    list_->PathStroke(c.packed(), closed ? ImDrawFlags_Closed : ImDrawFlags_None, thickness);
}

void Painter::polygon(std::span<const Vec2> clockwise, Colour c) {
    float turn = 0;
    for (std::size_t i = 0; i < clockwise.size(); ++i) {
        const Vec2 a = clockwise[i];
        const Vec2 b = clockwise[(i + 1) % clockwise.size()];
        turn += a.x * b.y - b.x * a.y;
    }
    if (turn >= 0) {
        for (const Vec2 p : clockwise) {
            list_->PathLineTo(im(p));
        }
    } else {
        for (auto p = clockwise.rbegin(); p != clockwise.rend(); ++p) {
            list_->PathLineTo(im(*p));
        }
    }
    list_->PathFillConvex(c.packed());
}

void Painter::band(std::span<const Vec2> upper, std::span<const Vec2> lower, Colour c) {
    const std::size_t count = std::min(upper.size(), lower.size());
    if (count < 2) {
        return;
    }
    // Four vertices a place: faded edge, upper, lower, faded edge.
    const ImVec2 uv = ImGui::GetFontTexUvWhitePixel();
    const ImU32 solid = c.packed();
    const ImU32 clear = c.faded(0).packed();
    const int quads = static_cast<int>(count) - 1;
    list_->PrimReserve(quads * 18, static_cast<int>(count) * 4);
    const auto first = static_cast<ImDrawIdx>(list_->_VtxCurrentIdx);
    for (std::size_t i = 0; i < count; ++i) {
        list_->PrimWriteVtx({upper[i].x, upper[i].y - 1}, uv, clear);
        list_->PrimWriteVtx(im(upper[i]), uv, solid);
        list_->PrimWriteVtx(im(lower[i]), uv, solid);
        list_->PrimWriteVtx({lower[i].x, lower[i].y + 1}, uv, clear);
    }
    for (int q = 0; q < quads; ++q) {
        for (int row = 0; row < 3; ++row) {
            const auto at = static_cast<ImDrawIdx>(first + q * 4 + row);
            for (const int step : {0, 4, 5, 0, 5, 1}) {
                list_->PrimWriteIdx(static_cast<ImDrawIdx>(at + step));
            }
        }
    }
}

void Painter::circle(Vec2 centre, float radius, Colour c) {
    list_->AddCircleFilled(im(centre), radius, c.packed(), radius < 3 ? 12 : 0);
}

void Painter::ring(Vec2 centre, float radius, Colour c, float thickness) {
    list_->PathArcTo(im(centre), radius, 0, radians(360), std::max(24, static_cast<int>(radius * 2.2F)));
    list_->_Path.pop_back();
    list_->PathStroke(c.packed(), ImDrawFlags_Closed, thickness);
}

void Painter::arc(Vec2 centre, float radius, float from_deg, float to_deg, Colour c, float thickness, bool round_ends) {
    const int steps = std::max(6, static_cast<int>(radius * std::abs(to_deg - from_deg) / 90.0F * 0.8F));
    list_->PathArcTo(im(centre), radius, radians(from_deg), radians(to_deg), steps);
    list_->PathStroke(c.packed(), ImDrawFlags_None, thickness);
    if (round_ends) {
        for (const float end : {from_deg, to_deg}) {
            circle({centre.x + radius * std::cos(radians(end)), centre.y + radius * std::sin(radians(end))},
                   thickness * 0.5F, c);
        }
    }
}

void Painter::dashed_ring(Vec2 centre, float radius, Colour c, float thickness, float dash, float gap) {
    const float around = 2 * std::numbers::pi_v<float> * radius;
    const int count = std::max(4, static_cast<int>(std::lround(around / (dash + gap))));
    const float turn = 360.0F / static_cast<float>(count);
    const float part = turn * dash / (dash + gap);
    for (int i = 0; i < count; ++i) {
        const float from = turn * static_cast<float>(i);
        arc(centre, radius, from, from + part, c, thickness);
    }
}

void Painter::dashed(std::span<const Vec2> points, Colour c, float thickness, float dash, float gap, bool round_ends) {
    float walked = 0;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const float length = distance(points[i - 1], points[i]);
        if (length <= 0) {
            continue;
        }
        const Vec2 along = (points[i] - points[i - 1]) * (1 / length);
        float at = 0;
        while (at < length) {
            const float phase = std::fmod(walked + at, dash + gap);
            const float rest = phase < dash ? dash - phase : dash + gap - phase;
            const float step = std::min(std::max(rest, 0.01F), length - at);
            if (phase < dash) {
                const Vec2 from = points[i - 1] + along * at;
                const Vec2 to = points[i - 1] + along * (at + step);
                if (dash <= thickness && round_ends) {
                    if (phase < 0.02F) {
                        circle((from + to) * 0.5F, thickness * 0.5F, c);
                    }
                } else {
                    line(from, to, c, thickness, round_ends);
                }
            }
            at += step;
        }
        walked += length;
    }
}

void Painter::octagon(Vec2 centre, float radius, Colour c) {
    polygon(octagon_points(centre, radius), c);
}

void Painter::octagon_outline(Vec2 centre, float radius, Colour c, float thickness) {
    polyline(octagon_points(centre, radius), c, thickness, true);
}

void Painter::quadratic(Vec2 a, Vec2 control, Vec2 b, std::vector<Vec2>& out) const {
    const int steps = std::max(8, static_cast<int>(distance(a, b) * 0.4F));
    for (int i = 0; i <= steps; ++i) {
        const float t = static_cast<float>(i) / static_cast<float>(steps);
        const float u = 1 - t;
        out.push_back(a * (u * u) + control * (2 * u * t) + b * (t * t));
    }
}

void Painter::push_clip(const Rect& r) {
    clips_.push_back(clips_.empty() ? r : r.overlap(clips_.back()));
    list_->PushClipRect({r.x0, r.y0}, {r.x1, r.y1}, true);
}

void Painter::pop_clip() {
    clips_.pop_back();
    list_->PopClipRect();
}

}  // namespace tonebath::window
