// The letters: fourteen types in one atlas, built for one scale. Files are looked for by name in a list of folders;
// a missing one is replaced by DejaVu Sans, and that by the built-in letters, each with a message to be shown.
#pragma once

#include "window/widgets/theme.hpp"

#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

struct ImFont;
struct ImFontAtlas;

namespace tonebath::window {

enum class Width : std::uint8_t { narrow, normal, wide };  // under 70 em, as drawn, over 110 em

// How far the second of two signs moves towards the first, in em; ASCII only, the rest stands as it is.
struct Kerning {
    std::array<float, 95 * 95> em{};
    [[nodiscard]] float between(unsigned first, unsigned second) const {
        const bool known = first >= 0x20 && first < 0x7f && second >= 0x20 && second < 0x7f;
        return known ? em[(first - 0x20) * 95 + (second - 0x20)] : 0.0F;
    }
};

// Letters of this size and more (px) are set on whole pixels.
inline constexpr float kWholePixelsFromEm = 40;

struct FontFace {
    ImFont* font = nullptr;                  // owned by the atlas
    float em_px = 16;                        // the size it was made for
    float ascent_px = 0;                     // top of a line to its baseline, whole pixels
    float cap_px = 0;                        // height of a capital
    float x_px = 0;                          // height of a small x
    float line_px = 0;                       // baseline to baseline
    std::shared_ptr<const Kerning> kerning;  // none: every sign keeps its own width
};

struct FontSet {
    std::array<FontFace, kTypeCount> faces;
    float scale = 1;
    Width width = Width::normal;
    std::vector<std::string> messages;  // what could not be found, in words for a person
    [[nodiscard]] const FontFace& operator[](Type t) const { return faces[static_cast<std::size_t>(t)]; }
};

// The folders of the system's fonts and the user's own, in the order they are searched.
[[nodiscard]] std::vector<std::filesystem::path> font_folders();

// Fills the atlas (which must outlive the set) and builds its picture. scale: pixels for one pixel at scale 1, 0.5
// to 4.
[[nodiscard]] FontSet build_fonts(ImFontAtlas& atlas, const Look& look, float scale, Width width,
                                  const std::vector<std::filesystem::path>& folders = font_folders());

// The signs each font must hold: Latin, Greek, Cyrillic, punctuation, sub- and superscripts, arrows, mathematics.
// Pairs of first and last code point, ended by 0.
[[nodiscard]] const unsigned short* full_glyph_ranges();

// True when every sign of the text can be drawn in this type.
[[nodiscard]] bool can_draw(const FontFace& face, std::string_view utf8);

enum class Icon : std::uint8_t { fan, thermometer, printer, find, sound_on, sound_off, camera, person, pencil };
inline constexpr int kIconCount = 9;
[[nodiscard]] const char* icon_utf8(Icon icon);

}  // namespace tonebath::window
