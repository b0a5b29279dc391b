// The sheet that is drawn on: one draw list a frame, the letters' texture, and OpenGL to show it or to take its
// picture.
#pragma once

#include "window/widgets/geometry.hpp"

#include <cstdint>
#include <string>
#include <vector>

struct ImDrawList;
struct ImFontAtlas;
struct ImGuiContext;

namespace tonebath::window {

// Three bytes a pixel, red first, rows from the top.
struct Picture {
    int width = 0;
    int height = 0;
    std::vector<std::uint8_t> rgb;
};
// The part of it inside `place`, px; empty where nothing of it is.
[[nodiscard]] Picture part_of(const Picture& picture, const Rect& place);
// The file of a picture, PNG.
[[nodiscard]] std::string png_of(const Picture& picture);

class Canvas {
public:
    // An OpenGL context must be current, and stay so. glsl: "#version 330" or "#version 130".
    explicit Canvas(const char* glsl);
    ~Canvas();
    Canvas(const Canvas&) = delete;
    Canvas& operator=(const Canvas&) = delete;

    [[nodiscard]] ImFontAtlas& atlas();  // clear it, fill it, then:
    void atlas_changed();                // hands the letters to OpenGL; between frames only

    [[nodiscard]] ImDrawList* begin(int width_px, int height_px, float dt_s);
    // True when the picture differs from the one of the last end(), or atlas or size changed.
    bool end();

    void show() const;                      // onto the window; the caller swaps
    [[nodiscard]] Picture picture() const;  // drawn apart from the window, so that it may be larger than the screen

private:
    [[nodiscard]] std::uint64_t hash() const;

    ImGuiContext* context_ = nullptr;
    bool has_objects_ = false;
    std::uint64_t shown_ = 0;
    int width_ = 0;
    int height_ = 0;
};

}  // namespace tonebath::window
