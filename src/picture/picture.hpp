// A photograph as its file holds it: pixels, what they mean, and what the file tells of how it was made.
#pragma once

#include "science/photo_patch.hpp"

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::picture {

enum class FileKind : std::uint8_t { jpeg, png, tiff, heic };

// A corner of a mark, in pixels of the upright photograph, from its upper left corner.
struct Point {
    double x = 0.0;
    double y = 0.0;
};
// A closed line round what is marked; a rectangle has four corners. It may reach over the edge of the photograph.
using Outline = std::vector<Point>;
[[nodiscard]] Outline rectangle(double x, double y, double width, double height);

// What EXIF says; nothing where it is silent.
struct Exif {
    int orientation = 1;  // 1 to 8, as TIFF 6.0 numbers them
    std::string taken;    // as written: "2026:03:14 10:20:30"
    std::string changed;
    std::string software;
    std::vector<std::string> edits;  // signs of editing, in words
    std::optional<bool> srgb;        // the camera's own word for its colours
    std::optional<bool> flash;
    bool location = false;
};

// Rows of red, green and blue as encoded, 8 or 16 bit, in the order of the file.
struct Pixels {
    int width = 0;
    int height = 0;
    int bits = 8;
    std::vector<std::uint8_t> narrow;  // bits == 8
    std::vector<std::uint16_t> wide;   // bits == 16; the full range 0 to 65535
    [[nodiscard]] std::array<double, 3> encoded(int x, int y) const;  // 0 to 1
};

enum class Primaries : std::uint8_t { unknown, srgb, display_p3 };

// What a reader fills in.
struct Raw {
    FileKind kind = FileKind::jpeg;
    Pixels pixels;
    std::vector<std::uint8_t> icc;
    Primaries primaries = Primaries::unknown;  // said by the file without a profile
    std::vector<std::uint8_t> exif;            // the TIFF structure, without "Exif\0\0"
    std::optional<int> turned;                 // orientation told otherwise than by EXIF; 1 where already upright
    std::optional<int> jpeg_step;              // greater first step of the quantisation tables in use
    bool edit_history = false;                 // XMP with a history of edits
};

class ColourReader;  // encoded colour to linear light, by profile

class Picture {
public:
    explicit Picture(Raw raw);
    Picture(Picture&&) noexcept;
    Picture& operator=(Picture&&) noexcept;
    ~Picture();

    [[nodiscard]] FileKind kind() const { return raw_.kind; }
    [[nodiscard]] int bits() const { return raw_.pixels.bits; }
    // Upright.
    [[nodiscard]] int width() const;
    [[nodiscard]] int height() const;
    [[nodiscard]] const Exif& exif() const { return exif_; }
    [[nodiscard]] std::optional<int> jpeg_step() const { return raw_.jpeg_step; }
    // Name of the profile ("Display P3"), or what the file says without one; empty where nothing says what its numbers
    // mean, and then they are taken as sRGB.
    [[nodiscard]] const std::string& colours() const { return colours_; }
    [[nodiscard]] bool profile_damaged() const { return profile_damaged_; }

    // What is marked, in linear light, as at most about `most_pixels`: squares are averaged above that. Empty where the
    // mark lies outside the photograph.
    [[nodiscard]] science::PhotoPatch inside(const Outline& mark, std::size_t most_pixels = kMostPixels) const;
    // The band round a mark, a third of its shorter side wide (at least 6 pixels), `gap` times that side away from it.
    [[nodiscard]] science::PhotoPatch round(const Outline& mark, double gap, std::size_t most_pixels = kMostPixels) const;
    // The mark and what lies half of its shorter side round it.
    [[nodiscard]] science::PhotoPatch wide(const Outline& mark, std::size_t most_pixels = kMostPixels) const;
    // One pixel, upright, in linear light of the sRGB primaries.
    [[nodiscard]] science::LinearRgb light_at(int x, int y) const;

    static constexpr std::size_t kMostPixels = 400'000;

private:
    struct Box;
    [[nodiscard]] science::PhotoPatch patch(const Box& box, std::size_t most_pixels, const Outline* in, const Outline* out) const;
    [[nodiscard]] std::array<double, 3> encoded_at(int x, int y) const;

    Raw raw_;
    Exif exif_;
    int turned_ = 1;
    std::string colours_;
    bool profile_damaged_ = false;
    std::unique_ptr<ColourReader> colour_;
};

}  // namespace tonebath::picture
