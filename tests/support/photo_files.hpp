// Writes photographs for tests as cameras and other programs write them: JPEG, PNG, TIFF, with EXIF and profiles.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace tonebath::test {

// Rows of red, green, blue, encoded, 0 to 65535.
struct TestImage {
    int width = 0;
    int height = 0;
    std::vector<std::uint16_t> rgb;
    void put(int x, int y, std::uint16_t r, std::uint16_t g, std::uint16_t b);
};
// Every pixel another colour, smooth enough to survive a JPEG.
[[nodiscard]] TestImage ramp(int width, int height);

struct FileParts {
    std::string exif;  // the TIFF structure
    std::string icc;
    std::string xmp;
    int jpeg_quality = 95;
    bool progressive = false;  // JPEG; interlaced PNG
    bool full_colour = true;   // JPEG 4:4:4; false = 4:2:0
};
[[nodiscard]] std::string jpeg_of(const TestImage& image, const FileParts& parts = {});
[[nodiscard]] std::string grey_jpeg_of(const TestImage& image);
[[nodiscard]] std::string png_of(const TestImage& image, int bits, const FileParts& parts = {});
struct TiffKind {
    int bits = 8;
    bool tiled = false;
    bool planes = false;  // channels apart
    int orientation = 1;
    bool packed = false;  // deflate
};
[[nodiscard]] std::string tiff_of(const TestImage& image, const TiffKind& kind, const FileParts& parts = {});

// The TIFF structure of EXIF. Text tags of the first directory, short ones of the first and of EXIF's own, the time it
// was taken, and whether a place is told.
struct ExifSaid {
    int orientation = 0;  // 0 = not said
    std::string changed;  // 2026:03:14 10:20:30
    std::string taken;
    std::string software;
    std::map<std::uint16_t, std::uint16_t> shorts;  // of EXIF's own directory
    bool location = false;
};
[[nodiscard]] std::string exif_of(const ExifSaid& said);

// ICC profiles made here: matrix and curve.
[[nodiscard]] std::string srgb_profile();
[[nodiscard]] std::string display_p3_profile();

}  // namespace tonebath::test
