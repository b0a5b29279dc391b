// Photographs as cameras write them are read to the pixel; damaged and hostile ones are refused in words.
#include "picture/read.hpp"

#include "science/photo_colour.hpp"
#include "support/photo_files.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <fstream>
#include <random>
#include <sstream>

using namespace tonebath;
using namespace tonebath::picture;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

Picture read(const std::string& bytes) {
    auto picture = read_picture_bytes(bytes, "test");
    INFO((picture ? std::string() : picture.error().text()));
    REQUIRE(picture);
    return std::move(picture).value();
}

Refusal refusal_of(const std::string& bytes, const GoOn& go_on = {}) {
    const auto picture = read_picture_bytes(bytes, "test", go_on);
    REQUIRE_FALSE(picture);
    CHECK_FALSE(picture.error().message.empty());
    CHECK_FALSE(picture.error().remedy.empty());
    return picture.error();
}

// Light of a pixel of the image, read as sRGB.
science::LinearRgb light_of(const TestImage& image, int x, int y) {
    const auto at = static_cast<std::size_t>(3 * (y * image.width + x));
    return science::linear_from_srgb({image.rgb[at] / 65535.0, image.rgb[at + 1] / 65535.0, image.rgb[at + 2] / 65535.0});
}

double widest(const Picture& picture, const TestImage& image) {
    double most = 0.0;
    for (int y = 0; y < image.height; ++y) {
        for (int x = 0; x < image.width; ++x) {
            const science::LinearRgb is = picture.light_at(x, y), be = light_of(image, x, y);
            most = std::max({most, std::abs(is.r - be.r), std::abs(is.g - be.g), std::abs(is.b - be.b)});
        }
    }
    return most;
}

std::string file_of(const std::string& name) {
    std::ifstream file(std::string(TONEBATH_CASES_DIR) + "/photo/" + name, std::ios::binary);
    REQUIRE(file);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

// Bytes turned, cut, doubled and overwritten as damage and malice do; whatever comes out, it is a picture or words.
void mutate_and_read(const std::string& good, int rounds, unsigned seed) {
    std::mt19937 random(seed);
    const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
    int refused = 0;
    for (int round = 0; round < rounds; ++round) {
        std::string bytes = good;
        const std::size_t changes = 1 + below(8);
        for (std::size_t i = 0; i < changes; ++i) {
            // Heads hold the sizes: half of the damage goes there.
            const std::size_t at = below(2) == 0 ? below(std::min<std::size_t>(bytes.size(), 300)) : below(bytes.size());
            switch (below(6)) {
                case 0: bytes[at] = static_cast<char>(random()); break;
                case 1: bytes[at] = static_cast<char>(bytes[at] ^ (1 << below(8))); break;
                case 2: bytes[at] = below(2) == 0 ? '\xff' : '\0'; break;
                case 3: bytes.insert(at, bytes.substr(at, 1 + below(40))); break;
                case 4: bytes.erase(at, 1 + below(20)); break;
                default: bytes.resize(std::max<std::size_t>(8, at)); break;
            }
            if (bytes.empty()) {
                bytes = "x";
            }
        }
        const auto picture = read_picture_bytes(bytes, "test");
        if (!picture) {
            ++refused;
            CHECK_FALSE(picture.error().message.empty());
            continue;
        }
        const Outline all = rectangle(-5.0, -5.0, picture->width() + 10.0, picture->height() + 10.0);
        const science::PhotoPatch patch = picture->inside(all, 5000);
        CHECK(patch.light.size() == patch.state.size());
        static_cast<void>(science::patch_figures(patch));
    }
    CHECK(refused > rounds / 20);
}

}  // namespace

TEST_CASE("Each kind of file gives back its pixels", "[picture]") {
    const TestImage image = ramp(61, 43);
    // Half a level of 8 bit is at most 0.0045 in linear light; a JPEG of quality 95 moves by a few levels.
    CHECK(widest(read(png_of(image, 8)), image) < 0.005);
    CHECK(widest(read(png_of(image, 16)), image) < 1e-9);
    CHECK(widest(read(png_of(image, 16, {.exif = {}, .icc = {}, .xmp = {}, .progressive = true})), image) < 1e-9);
    CHECK(widest(read(jpeg_of(image)), image) < 0.03);
    CHECK(widest(read(jpeg_of(image, {.exif = {}, .icc = {}, .xmp = {}, .progressive = true})), image) < 0.03);
    for (const int bits : {8, 16}) {
        for (const bool tiled : {false, true}) {
            for (const bool planes : {false, true}) {
                for (const bool packed : {false, true}) {
                    INFO(bits << " bit, tiled " << tiled << ", planes " << planes << ", packed " << packed);
                    const Picture picture = read(tiff_of(image, {.bits = bits, .tiled = tiled, .planes = planes, .orientation = 1, .packed = packed}));
                    CHECK(picture.kind() == FileKind::tiff);
                    CHECK(picture.bits() == bits);
                    CHECK(widest(picture, image) < (bits == 8 ? 0.005 : 1e-9));
                }
            }
        }
    }
}

// TIFF 6.0, tag 274: which corner of the stored picture is the upper left one.
TEST_CASE("All eight orientations come out upright", "[picture]") {
    const TestImage image = ramp(7, 5);
    const auto stored = [&](int orientation) {
        const bool turned = orientation >= 5;
        TestImage out{.width = turned ? image.height : image.width, .height = turned ? image.width : image.height, .rgb = image.rgb};
        for (int y = 0; y < image.height; ++y) {
            for (int x = 0; x < image.width; ++x) {
                const auto at = static_cast<std::size_t>(3 * (y * image.width + x));
                const int right = image.width - 1 - x, low = image.height - 1 - y;
                // Row of the stored picture is the named side of the upright one.
                const std::pair<int, int> to = orientation == 1   ? std::pair(x, y)
                                               : orientation == 2 ? std::pair(right, y)
                                               : orientation == 3 ? std::pair(right, low)
                                               : orientation == 4 ? std::pair(x, low)
                                               : orientation == 5 ? std::pair(y, x)
                                               : orientation == 6 ? std::pair(y, right)
                                               : orientation == 7 ? std::pair(low, right)
                                                                  : std::pair(low, x);
                out.put(to.first, to.second, image.rgb[at], image.rgb[at + 1], image.rgb[at + 2]);
            }
        }
        return out;
    };
    for (int orientation = 1; orientation <= 8; ++orientation) {
        INFO("orientation " << orientation);
        const Picture by_exif = read(png_of(stored(orientation), 16, {.exif = exif_of({.orientation = orientation}), .icc = {}, .xmp = {}}));
        CHECK(by_exif.width() == image.width);
        CHECK(by_exif.height() == image.height);
        CHECK(widest(by_exif, image) < 1e-9);
        CHECK(widest(read(tiff_of(stored(orientation), {.bits = 16, .tiled = false, .planes = false, .orientation = orientation})), image) < 1e-9);
    }
    // A camera held upright: the stored picture lies on its side, turned by a quarter.
    const Picture upright = read(jpeg_of(ramp(80, 40), {.exif = exif_of({.orientation = 6}), .icc = {}, .xmp = {}}));
    CHECK(upright.width() == 40);
    CHECK(upright.height() == 80);
}

TEST_CASE("Colours are those of the file's own profile", "[picture]") {
    const TestImage image = ramp(20, 20);
    // The same numbers mean more colour in Display P3; lcms2 reads the profile, our own matrix the comparison.
    for (const std::string& bytes : {png_of(image, 16, {.exif = {}, .icc = display_p3_profile(), .xmp = {}}),
                                     tiff_of(image, {.bits = 16}, {.exif = {}, .icc = display_p3_profile(), .xmp = {}})}) {
        const Picture picture = read(bytes);
        CHECK_FALSE(picture.colours().empty());
        CHECK_FALSE(picture.profile_damaged());
        double most = 0.0;
        for (int i = 0; i < 20; ++i) {
            const auto at = static_cast<std::size_t>(3 * (i * 20 + i));
            const science::LinearRgb be = science::linear_from_display_p3({image.rgb[at] / 65535.0, image.rgb[at + 1] / 65535.0, image.rgb[at + 2] / 65535.0});
            const science::LinearRgb is = picture.light_at(i, i);
            most = std::max({most, std::abs(is.r - be.r), std::abs(is.g - be.g), std::abs(is.b - be.b)});
        }
        CHECK(most < 3e-4);  // a profile holds its figures to 1/65536, its white to four decimals
    }
    CHECK(widest(read(png_of(image, 16, {.exif = {}, .icc = srgb_profile(), .xmp = {}})), image) < 3e-4);
    CHECK(read(jpeg_of(image, {.exif = {}, .icc = display_p3_profile(), .xmp = {}})).colours() == "RGB built-in");
    CHECK(read(jpeg_of(image)).colours().empty());
    CHECK(read(jpeg_of(image, {.exif = exif_of({.shorts = {{0xA001, 1}}}), .icc = {}, .xmp = {}})).colours() == "sRGB");
    // A profile of nonsense is none, and that is told.
    const Picture broken = read(jpeg_of(image, {.exif = {}, .icc = std::string(300, 'x'), .xmp = {}}));
    CHECK(broken.profile_damaged());
    CHECK(broken.colours().empty());
}

TEST_CASE("EXIF tells of edits, flash and place, and JPEG of its loss", "[picture]") {
    const TestImage image = ramp(16, 16);
    const auto told = [&](const ExifSaid& said) { return read(jpeg_of(image, {.exif = exif_of(said), .icc = {}, .xmp = {}})).exif(); };
    CHECK(told({.changed = "2026:03:14 10:20:30", .taken = "2026:03:14 10:20:30", .software = "11.2"}).edits.empty());
    const Exif later = told({.changed = "2026:03:15 08:00:00", .taken = "2026:03:14 10:20:30", .software = "11.2"});
    REQUIRE(later.edits.size() == 1);
    CHECK_THAT(later.edits[0], Contains("2026:03:15 08:00:00 by 11.2"));
    CHECK(later.taken == "2026:03:14 10:20:30");
    CHECK(told({.shorts = {{0xA401, 1}}}).edits.size() == 1);
    CHECK(told({.shorts = {{0xA408, 0}, {0xA409, 2}, {0xA40A, 0}}}).edits.size() == 1);
    CHECK(told({.shorts = {{0x9209, 0x19}}}).flash.value());
    CHECK_FALSE(told({.shorts = {{0x9209, 0x10}}}).flash.value());
    CHECK(told({.location = true}).location);
    CHECK_FALSE(told({}).location);
    CHECK(read(jpeg_of(image, {.exif = {}, .icc = {}, .xmp = "<x xmpMM:History=''/>"})).exif().edits.size() == 1);
    // Annex K tables of ITU-T T.81: first steps 16 and 17 at quality 50, scaled by the library's rule.
    CHECK(read(jpeg_of(image, {.exif = {}, .icc = {}, .xmp = {}, .jpeg_quality = 50})).jpeg_step() == 17);
    CHECK(read(jpeg_of(image, {.exif = {}, .icc = {}, .xmp = {}, .jpeg_quality = 25})).jpeg_step() == 34);
    CHECK_FALSE(read(png_of(image, 8)).jpeg_step());
}

TEST_CASE("HEIC is read, or the build says plainly that it does not", "[picture]") {
    const std::string bytes = file_of("ramp_p3.heic");
    if (!reads_heic()) {
        CHECK(refusal_of(bytes).code == "photo.heic_missing");
        return;
    }
    // Made with a quarter turn in the file's own boxes; primaries of Display P3.
    const Picture picture = read(bytes);
    CHECK(picture.width() == 64);
    CHECK(picture.height() == 96);
    CHECK(picture.colours() == "Display P3");
    CHECK(picture.exif().taken == "2026:03:14 10:20:30");
    const TestImage image = ramp(64, 96);
    double most = 0.0;
    for (int y = 4; y < 92; y += 8) {
        for (int x = 4; x < 60; x += 8) {
            const auto at = static_cast<std::size_t>(3 * (y * 64 + x));
            const science::LinearRgb be = science::linear_from_display_p3({image.rgb[at] / 65535.0, image.rgb[at + 1] / 65535.0, image.rgb[at + 2] / 65535.0});
            const science::LinearRgb is = picture.light_at(x, y);
            most = std::max({most, std::abs(is.r - be.r), std::abs(is.g - be.g), std::abs(is.b - be.b)});
        }
    }
    CHECK(most < 0.03);
    if (reads_heic()) {
        CHECK(refusal_of(bytes.substr(0, bytes.size() / 2)).code == "photo.damaged");
    }
}

TEST_CASE("What is no colour photograph is refused with what to do", "[picture]") {
    const TestImage image = ramp(30, 30);
    CHECK(refusal_of("").code == "photo.unknown_kind");
    CHECK(refusal_of("GIF89a and more").code == "photo.unknown_kind");
    CHECK(refusal_of(grey_jpeg_of(image)).code == "photo.no_colour");
    for (const std::string& whole : {jpeg_of(image), png_of(image, 16), tiff_of(image, {.bits = 16})}) {
        CHECK(refusal_of(whole.substr(0, whole.size() * 2 / 3)).code == "photo.damaged");
    }
    // A head that promises more than may be read: 60000 x 40000.
    std::string large = png_of(image, 8);
    large.replace(16, 8, std::string("\0\0\xea\x60\0\0\x9c\x40", 8));
    CHECK(read_picture_bytes(large, "test").error().code.starts_with("photo."));
    std::string wide = jpeg_of(image);
    const std::size_t frame = wide.find("\xff\xc0");
    REQUIRE(frame != std::string::npos);
    wide.replace(frame + 5, 4, "\x27\x10\x27\x10");  // 10000 x 10000
    CHECK(refusal_of(wide).code == "photo.too_large");
    CHECK(read_picture(std::string(TONEBATH_CASES_DIR) + "/photo/nowhere.jpg").error().code == "photo.no_file");
    CHECK(read_picture(std::string(TONEBATH_CASES_DIR)).error().code == "photo.no_file");
}

TEST_CASE("Reading tells how far it is and can be stopped", "[picture]") {
    const TestImage image = ramp(400, 300);
    for (const std::string& bytes : {jpeg_of(image), jpeg_of(image, {.exif = {}, .icc = {}, .xmp = {}, .progressive = true}), png_of(image, 8),
                                     tiff_of(image, {.bits = 8})}) {
        double last = 0.0;
        int calls = 0;
        const auto whole = read_picture_bytes(bytes, "test", [&](double share) {
            CHECK(share >= last - 1e-9);
            CHECK(share <= 1.0);
            last = share;
            ++calls;
            return true;
        });
        CHECK(whole);
        CHECK(calls >= 4);
        CHECK(refusal_of(bytes, [&](double share) { return share < 0.5; }).code == "photo.stopped");
    }
}

TEST_CASE("Marks take what they hold, wherever they lie", "[picture]") {
    TestImage image = ramp(40, 30);
    image.put(10, 10, 65535, 20000, 20000);
    image.put(11, 10, 20000, 0, 20000);
    const Picture picture = read(png_of(image, 16));
    const science::PhotoPatch patch = picture.inside(rectangle(8.0, 8.0, 10.0, 6.0));
    CHECK(patch.width == 10);
    CHECK(patch.height == 6);
    CHECK(patch.merged == 1);
    CHECK(patch.state[2 * 10 + 2] == science::PixelState::clipped_high);
    CHECK(patch.state[2 * 10 + 3] == science::PixelState::clipped_low);
    CHECK(patch.state[0] == science::PixelState::good);
    // Squares of four averaged: the middle of light stays.
    const science::PhotoPatch coarse = picture.inside(rectangle(20.0, 0.0, 20.0, 20.0), 100);
    CHECK(coarse.merged == 2);
    CHECK(coarse.width == 10);
    CHECK_THAT(science::patch_figures(coarse)->mean.g, WithinAbs(science::patch_figures(picture.inside(rectangle(20.0, 0.0, 20.0, 20.0)))->mean.g, 1e-4));
    // A triangle holds half of its box; over the edge there is nothing; outside nothing at all.
    const science::PhotoPatch half = picture.inside({{0.0, 0.0}, {20.0, 0.0}, {0.0, 20.0}});
    CHECK_THAT(static_cast<double>(std::count(half.state.begin(), half.state.end(), science::PixelState::good)), WithinAbs(200.0, 15.0));
    CHECK(picture.inside(rectangle(35.0, 25.0, 100.0, 100.0)).width == 5);
    CHECK(picture.inside(rectangle(50.0, 50.0, 10.0, 10.0)).light.empty());
    CHECK(picture.inside({}).light.empty());
    CHECK(picture.inside(rectangle(std::nan(""), 1e300, -1e300, 1.0)).light.empty());
    // The band round a mark leaves the mark out.
    const science::PhotoPatch band = picture.round(rectangle(10.0, 10.0, 10.0, 10.0), 0.12);
    CHECK(band.state[static_cast<std::size_t>(band.height / 2 * band.width + band.width / 2)] == science::PixelState::outside);
    CHECK(band.state[0] == science::PixelState::good);
}

TEST_CASE("Damaged and hostile files: a picture or words, never a fall", "[picture]") {
    const TestImage image = ramp(33, 21);
    const FileParts parts{.exif = exif_of({.orientation = 6, .changed = "2026:03:14 10:20:30", .taken = "2026:03:14 10:20:30", .location = true}),
                          .icc = display_p3_profile(),
                          .xmp = {}};
    FileParts progressive = parts;
    progressive.progressive = true;
    unsigned seed = 1;
    for (const std::string& good : {jpeg_of(image, parts), jpeg_of(image, progressive), png_of(image, 8, parts), png_of(image, 16, progressive),
                                    tiff_of(image, {.bits = 8, .tiled = true, .planes = true}, parts), tiff_of(image, {.bits = 16, .packed = true}, parts)}) {
        mutate_and_read(good, 120, seed++);
    }
    if (reads_heic()) {
        mutate_and_read(file_of("ramp_p3.heic"), 60, seed);
    }
}

TEST_CASE("Damaged and hostile files, many", "[picture][.long]") {
    const TestImage image = ramp(33, 21);
    const FileParts parts{.exif = exif_of({.orientation = 6, .changed = "2026:03:14 10:20:30", .location = true}), .icc = display_p3_profile(), .xmp = {}};
    FileParts progressive = parts;
    progressive.progressive = true;
    unsigned seed = std::random_device{}();
    INFO("seed " << seed);
    for (const std::string& good : {jpeg_of(image, parts), jpeg_of(image, progressive), png_of(image, 8, parts), png_of(image, 16, progressive),
                                    tiff_of(image, {.bits = 8, .tiled = true, .planes = true}, parts), tiff_of(image, {.bits = 16, .packed = true}, parts)}) {
        mutate_and_read(good, 20000, seed++);
    }
    if (reads_heic()) {
        mutate_and_read(file_of("ramp_p3.heic"), 5000, seed);
    }
}
