#include "support/raster.hpp"

#include <imgui.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::testing {

namespace {

struct Texture {
    const unsigned char* pixels = nullptr;
    int width = 0;
    int height = 0;

    // Alpha 0..1 between the four nearest pixels.
    [[nodiscard]] float alpha(float u, float v) const {
        const float x = u * static_cast<float>(width) - 0.5F;
        const float y = v * static_cast<float>(height) - 0.5F;
        const float fx = std::floor(x);
        const float fy = std::floor(y);
        const auto value = [this](float px, float py) {
            const int ix = std::clamp(static_cast<int>(px), 0, width - 1);
            const int iy = std::clamp(static_cast<int>(py), 0, height - 1);
            return static_cast<float>(
                pixels[static_cast<std::size_t>(iy) * static_cast<std::size_t>(width) + static_cast<std::size_t>(ix)]);
        };
        const float dx = x - fx;
        const float dy = y - fy;
        const float top = value(fx, fy) * (1 - dx) + value(fx + 1, fy) * dx;
        const float bottom = value(fx, fy + 1) * (1 - dx) + value(fx + 1, fy + 1) * dx;
        return (top * (1 - dy) + bottom * dy) / 255.0F;
    }
};

struct Clip {
    int x0, y0, x1, y1;
};

std::array<float, 4> channels(ImU32 c) {
    return {static_cast<float>(c & 0xffU), static_cast<float>(c >> 8U & 0xffU), static_cast<float>(c >> 16U & 0xffU),
            static_cast<float>(c >> 24U & 0xffU) / 255.0F};
}

float side(const ImVec2& a, const ImVec2& b, float x, float y) {
    return (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x);
}

// A pixel on an edge belongs to the triangle whose top or left edge it is.
bool owns_edge(const ImVec2& a, const ImVec2& b) {
    return (a.y == b.y && b.x > a.x) || b.y < a.y;
}

void blend(Pixel& under, float r, float g, float b, float a) {
    const auto mixed = [a](std::uint8_t below, float above) {
        return static_cast<std::uint8_t>(
            std::clamp(std::lround(static_cast<float>(below) * (1 - a) + above * a), 0L, 255L));
    };
    under = {mixed(under.r, r), mixed(under.g, g), mixed(under.b, b)};
}

void draw_triangle(Image& image, const Texture& texture, const Clip& clip, const ImDrawVert* corner[3]) {
    const ImDrawVert* v0 = corner[0];
    const ImDrawVert* v1 = corner[1];
    const ImDrawVert* v2 = corner[2];
    float area = side(v0->pos, v1->pos, v2->pos.x, v2->pos.y);
    if (area == 0 || !std::isfinite(area)) {
        return;
    }
    if (area < 0) {
        std::swap(v1, v2);
        area = -area;
    }
    const auto low = [](float a, float b, float c) { return static_cast<int>(std::floor(std::min({a, b, c}))); };
    const auto high = [](float a, float b, float c) { return static_cast<int>(std::ceil(std::max({a, b, c}))); };
    const int x0 = std::max(clip.x0, low(v0->pos.x, v1->pos.x, v2->pos.x));
    const int x1 = std::min(clip.x1, high(v0->pos.x, v1->pos.x, v2->pos.x));
    const int y0 = std::max(clip.y0, low(v0->pos.y, v1->pos.y, v2->pos.y));
    const int y1 = std::min(clip.y1, high(v0->pos.y, v1->pos.y, v2->pos.y));
    const bool own0 = owns_edge(v1->pos, v2->pos);
    const bool own1 = owns_edge(v2->pos, v0->pos);
    const bool own2 = owns_edge(v0->pos, v1->pos);
    const auto c0 = channels(v0->col);
    const auto c1 = channels(v1->col);
    const auto c2 = channels(v2->col);
    const bool flat_uv = v0->uv.x == v1->uv.x && v1->uv.x == v2->uv.x && v0->uv.y == v1->uv.y && v1->uv.y == v2->uv.y;
    const float flat_alpha = flat_uv ? texture.alpha(v0->uv.x, v0->uv.y) : 1;
    for (int y = y0; y < y1; ++y) {
        const float py = static_cast<float>(y) + 0.5F;
        for (int x = x0; x < x1; ++x) {
            const float px = static_cast<float>(x) + 0.5F;
            const float w0 = side(v1->pos, v2->pos, px, py);
            const float w1 = side(v2->pos, v0->pos, px, py);
            const float w2 = side(v0->pos, v1->pos, px, py);
            if (w0 < 0 || w1 < 0 || w2 < 0 || (w0 == 0 && !own0) || (w1 == 0 && !own1) || (w2 == 0 && !own2)) {
                continue;
            }
            const float k0 = w0 / area;
            const float k1 = w1 / area;
            const float k2 = 1 - k0 - k1;
            const float alpha = flat_uv ? flat_alpha
                                        : texture.alpha(v0->uv.x * k0 + v1->uv.x * k1 + v2->uv.x * k2,
                                                        v0->uv.y * k0 + v1->uv.y * k1 + v2->uv.y * k2);
            const auto channel = [&](std::size_t i) { return c0[i] * k0 + c1[i] * k1 + c2[i] * k2; };
            blend(image.pixels[static_cast<std::size_t>(y) * static_cast<std::size_t>(image.width) +
                               static_cast<std::size_t>(x)],
                  channel(0), channel(1), channel(2), channel(3) * alpha);
        }
    }
}

}  // namespace

Image rasterise(const ImDrawData& data, ImFontAtlas& atlas, int width, int height) {
    Image image{width, height, std::vector<Pixel>(static_cast<std::size_t>(width) * static_cast<std::size_t>(height))};
    unsigned char* pixels = nullptr;
    Texture texture;
    atlas.GetTexDataAsAlpha8(&pixels, &texture.width, &texture.height);
    texture.pixels = pixels;
    for (int n = 0; n < data.CmdListsCount; ++n) {
        const ImDrawList& list = *data.CmdLists[n];
        for (const ImDrawCmd& command : list.CmdBuffer) {
            const Clip clip{std::max(0, static_cast<int>(command.ClipRect.x)),
                            std::max(0, static_cast<int>(command.ClipRect.y)),
                            std::min(width, static_cast<int>(std::ceil(command.ClipRect.z))),
                            std::min(height, static_cast<int>(std::ceil(command.ClipRect.w)))};
            for (unsigned i = 0; i + 2 < command.ElemCount; i += 3) {
                const ImDrawVert* corner[3];
                for (unsigned k = 0; k < 3; ++k) {
                    const unsigned at = list.IdxBuffer[static_cast<int>(command.IdxOffset + i + k)] + command.VtxOffset;
                    corner[k] = &list.VtxBuffer[static_cast<int>(at)];
                }
                draw_triangle(image, texture, clip, corner);
            }
        }
    }
    return image;
}

}  // namespace tonebath::testing
