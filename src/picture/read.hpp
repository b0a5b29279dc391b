// Reads a photograph from a file: JPEG, PNG, TIFF, and HEIC where it was built in. Damaged, hostile and unknown files
// are refused in words.
#pragma once

#include "base/result.hpp"
#include "picture/picture.hpp"

#include <filesystem>
#include <functional>
#include <string_view>

namespace tonebath::picture {

// 0 to 1, how much is read. False stops the reading: the refusal is "photo.stopped".
using GoOn = std::function<bool(double share)>;

// Limits are ours: the largest telephones write 50 megapixels (8160 x 6120); a file may be as large as such a picture in
// 16 bit without any compression.
inline constexpr std::size_t kMostPixels = 52'000'000;
inline constexpr std::size_t kMostFileBytes = 330'000'000;
inline constexpr int kLongestSide_px = 32'000;
inline constexpr std::size_t kMostProfileBytes = 4'000'000;

// Refusal codes: photo.no_file, photo.too_large, photo.unknown_kind, photo.damaged, photo.no_colour, photo.heic_missing,
// photo.stopped. `name` stands in the words.
[[nodiscard]] Result<Picture> read_picture(const std::filesystem::path& file, const GoOn& go_on = {});
[[nodiscard]] Result<Picture> read_picture_bytes(std::string_view bytes, const std::string& name, const GoOn& go_on = {});
// Whether this build reads HEIC.
[[nodiscard]] bool reads_heic();

// For the readers of single kinds.
struct Source {
    std::string_view bytes;
    std::string name;
    GoOn go_on;
    [[nodiscard]] bool stopped(double share) const { return go_on && !go_on(share); }
};
[[nodiscard]] Refusal damaged(const Source& source, const std::string& what);
[[nodiscard]] Refusal stopped(const Source& source);
// Nothing when a picture of this size may be read.
[[nodiscard]] std::optional<Refusal> refused_size(const Source& source, std::uint64_t width, std::uint64_t height);
[[nodiscard]] Refusal no_colour(const Source& source, const std::string& what);
[[nodiscard]] Result<Raw> read_jpeg(const Source& source);
[[nodiscard]] Result<Raw> read_png(const Source& source);
[[nodiscard]] Result<Raw> read_tiff(const Source& source);
[[nodiscard]] Result<Raw> read_heic(const Source& source);

// From the TIFF structure of EXIF; an empty one where it cannot be read.
[[nodiscard]] Exif read_exif(const std::vector<std::uint8_t>& tiff);

}  // namespace tonebath::picture
