// A picture in memory: written to and read from PNG, compared with a tolerance.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <vector>

namespace tonebath::testing {

struct Pixel {
    std::uint8_t r = 0;
    std::uint8_t g = 0;
    std::uint8_t b = 0;
    friend bool operator==(const Pixel&, const Pixel&) = default;
};

struct Image {
    int width = 0;
    int height = 0;
    std::vector<Pixel> pixels;  // rows from the top
    [[nodiscard]] Pixel at(int x, int y) const {
        return pixels[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)];
    }
};

// Writes an 8-bit RGB PNG; false when the file cannot be written. Missing folders are made.
bool write_png(const Image& image, const std::filesystem::path& file);
[[nodiscard]] std::optional<Image> read_png(const std::filesystem::path& file);

// How many pixels differ by more than `tolerance` in any channel; all of them when the sizes differ.
[[nodiscard]] std::size_t pixels_that_differ(const Image& a, const Image& b, int tolerance);

}  // namespace tonebath::testing
