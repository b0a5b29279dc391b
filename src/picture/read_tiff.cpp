#include "picture/read.hpp"

#include "picture/release.hpp"

#include <tiffio.h>

#include <algorithm>
#include <cstdarg>
#include <cstdio>
#include <cstring>
#include <memory>
#include <utility>

namespace tonebath::picture {

namespace {

constexpr tmsize_t kMostAtOnce_bytes = 400'000'000;

// The file in memory, as the library asks for it.
struct Reading {
    std::string_view bytes;
    toff_t at = 0;
    std::string words;  // of the last fault
};

Reading& reading_of(thandle_t handle) {
    return *static_cast<Reading*>(handle);
}

tmsize_t read_some(thandle_t handle, void* to, tmsize_t count) {
    Reading& reading = reading_of(handle);
    const toff_t size = reading.bytes.size();
    if (count <= 0 || reading.at >= size) {
        return 0;
    }
    const auto some = static_cast<std::size_t>(std::min<toff_t>(static_cast<toff_t>(count), size - reading.at));
    std::memcpy(to, reading.bytes.data() + reading.at, some);
    reading.at += some;
    return static_cast<tmsize_t>(some);
}

tmsize_t write_none(thandle_t, void*, tmsize_t) {
    return 0;
}

toff_t go_to(thandle_t handle, toff_t offset, int from) {
    Reading& reading = reading_of(handle);
    reading.at = offset + (from == SEEK_CUR ? reading.at : from == SEEK_END ? reading.bytes.size() : 0);
    return reading.at;
}

int close_it(thandle_t) {
    return 0;
}

toff_t size_of(thandle_t handle) {
    return reading_of(handle).bytes.size();
}

int on_fault(TIFF*, void* user, const char*, const char* format, va_list arguments) {
    char words[200];
    std::vsnprintf(words, sizeof words, format, arguments);
    static_cast<Reading*>(user)->words = words;
    return 1;  // nothing on stderr
}

int on_warning(TIFF*, void*, const char*, const char*, va_list) {
    return 1;
}

using File = std::unique_ptr<TIFF, Release<TIFFClose>>;

File opened(Reading& reading) {
    const std::unique_ptr<TIFFOpenOptions, void (*)(TIFFOpenOptions*)> options(TIFFOpenOptionsAlloc(),
                                                                                TIFFOpenOptionsFree);
    TIFFOpenOptionsSetMaxSingleMemAlloc(options.get(), kMostAtOnce_bytes);
    TIFFOpenOptionsSetErrorHandlerExtR(options.get(), on_fault, &reading);
    TIFFOpenOptionsSetWarningHandlerExtR(options.get(), on_warning, &reading);
    return File(TIFFClientOpenExt("photo", "rm", &reading, read_some, write_none, go_to, close_it, size_of, nullptr,
                                  nullptr, options.get()));
}

// How its samples lie: rows in strips or squares, channels together or apart.
struct Layout {
    std::uint32_t width = 0, height = 0;
    std::uint16_t bits = 0, channels = 0, planar = PLANARCONFIG_CONTIG;
    std::uint32_t block_width = 0, block_height = 0;
    bool tiled = false;
    [[nodiscard]] std::size_t planes() const { return planar == PLANARCONFIG_SEPARATE ? 3 : 1; }
    [[nodiscard]] std::size_t samples() const { return planar == PLANARCONFIG_SEPARATE ? 1 : channels; }
};

void put(Pixels& pixels, std::size_t at, const unsigned char* from) {
    if (pixels.bits == 16) {
        std::memcpy(&pixels.wide[at], from, 2);  // the library has turned the bytes to the machine's order
    } else {
        pixels.narrow[at] = *from;
    }
}

// Copies a block whose left upper corner is at (x0, y0); plane 0, 1, 2 where the channels lie apart.
void copy_block(const std::vector<unsigned char>& block, const Layout& layout, std::uint32_t x0, std::uint32_t y0,
                std::size_t plane, Pixels& pixels) {
    const std::size_t sample = layout.bits / 8u;
    const std::size_t step = sample * layout.samples();
    for (std::uint32_t y = 0; y < layout.block_height && y0 + y < layout.height; ++y) {
        for (std::uint32_t x = 0; x < layout.block_width && x0 + x < layout.width; ++x) {
            const unsigned char* from = block.data() + (std::size_t{y} * layout.block_width + x) * step;
            const std::size_t at = 3 * (std::size_t{y0 + y} * layout.width + x0 + x);
            if (layout.planes() == 1) {
                for (std::size_t channel = 0; channel < 3; ++channel) {
                    put(pixels, at + channel, from + channel * sample);
                }
            } else {
                put(pixels, at + plane, from);
            }
        }
    }
}

std::optional<Refusal> read_blocks(const Source& source, TIFF* file, const Layout& layout, const Reading& reading,
                                   Pixels& pixels) {
    const std::size_t size = std::size_t{layout.block_width} * layout.block_height * (layout.bits / 8u) * layout.samples();
    if (size == 0 || size > static_cast<std::size_t>(kMostAtOnce_bytes)) {
        return damaged(source, "its blocks have an impossible size");
    }
    std::vector<unsigned char> block(size);
    for (std::size_t plane = 0; plane < layout.planes(); ++plane) {
        for (std::uint32_t y = 0; y < layout.height; y += layout.block_height) {
            for (std::uint32_t x = 0; x < layout.width; x += layout.block_width) {
                const auto number = static_cast<std::uint16_t>(plane);
                const tmsize_t got =
                    layout.tiled
                        ? TIFFReadEncodedTile(file, TIFFComputeTile(file, x, y, 0, number), block.data(), static_cast<tmsize_t>(size))
                        : TIFFReadEncodedStrip(file, TIFFComputeStrip(file, y, number), block.data(), static_cast<tmsize_t>(size));
                const std::size_t rows = std::min(layout.block_height, layout.height - y);
                const std::size_t asked = layout.tiled ? size : size / layout.block_height * rows;
                if (got < 0 || static_cast<std::size_t>(got) < asked) {
                    return damaged(source, reading.words.empty() ? "it ends too early" : reading.words);
                }
                copy_block(block, layout, x, y, plane, pixels);
            }
            const double share = static_cast<double>(y) / layout.height;
            if (source.stopped((static_cast<double>(plane) + share) / static_cast<double>(layout.planes()))) {
                return stopped(source);
            }
        }
    }
    return std::nullopt;
}

std::optional<Refusal> layout_of(const Source& source, TIFF* file, Layout& layout) {
    std::uint16_t photometric = 0, format = SAMPLEFORMAT_UINT;
    TIFFGetField(file, TIFFTAG_IMAGEWIDTH, &layout.width);
    TIFFGetField(file, TIFFTAG_IMAGELENGTH, &layout.height);
    if (auto refusal = refused_size(source, layout.width, layout.height)) {
        return refusal;
    }
    TIFFGetFieldDefaulted(file, TIFFTAG_BITSPERSAMPLE, &layout.bits);
    TIFFGetFieldDefaulted(file, TIFFTAG_SAMPLESPERPIXEL, &layout.channels);
    TIFFGetFieldDefaulted(file, TIFFTAG_PLANARCONFIG, &layout.planar);
    TIFFGetFieldDefaulted(file, TIFFTAG_SAMPLEFORMAT, &format);
    TIFFGetField(file, TIFFTAG_PHOTOMETRIC, &photometric);
    if (photometric != PHOTOMETRIC_RGB || layout.channels < 3 || layout.channels > 8) {
        return no_colour(source, "its pixels are not red, green and blue");
    }
    if ((layout.bits != 8 && layout.bits != 16) || format != SAMPLEFORMAT_UINT) {
        return no_colour(source, "it has neither 8 nor 16 bit");
    }
    layout.tiled = TIFFIsTiled(file) != 0;
    if (layout.tiled) {
        TIFFGetField(file, TIFFTAG_TILEWIDTH, &layout.block_width);
        TIFFGetField(file, TIFFTAG_TILELENGTH, &layout.block_height);
    } else {
        TIFFGetFieldDefaulted(file, TIFFTAG_ROWSPERSTRIP, &layout.block_height);
        layout.block_width = layout.width;
        layout.block_height = std::min(layout.block_height, layout.height);
    }
    return layout.block_width == 0 || layout.block_height == 0 ||
                   layout.block_width > static_cast<std::uint32_t>(kLongestSide_px) ||
                   layout.block_height > static_cast<std::uint32_t>(kLongestSide_px)
               ? std::optional(damaged(source, "its blocks have an impossible size"))
               : std::nullopt;
}

}  // namespace

Result<Raw> read_tiff(const Source& source) {
    Reading reading{.bytes = source.bytes, .at = 0, .words = {}};
    const File file = opened(reading);
    if (!file) {
        return damaged(source, reading.words.empty() ? "it cannot be opened" : reading.words);
    }
    Layout layout;
    if (auto refusal = layout_of(source, file.get(), layout)) {
        return *refusal;
    }
    Raw raw;
    raw.kind = FileKind::tiff;
    raw.pixels.width = static_cast<int>(layout.width);
    raw.pixels.height = static_cast<int>(layout.height);
    raw.pixels.bits = layout.bits;
    const std::size_t count = std::size_t{3} * layout.width * layout.height;
    if (layout.bits == 16) {
        raw.pixels.wide.resize(count);
    } else {
        raw.pixels.narrow.resize(count);
    }
    std::uint32_t size = 0;
    void* profile = nullptr;
    if (TIFFGetField(file.get(), TIFFTAG_ICCPROFILE, &size, &profile) == 1 && size <= kMostProfileBytes) {
        const auto* first = static_cast<const std::uint8_t*>(profile);
        raw.icc.assign(first, first + size);
    }
    std::uint16_t orientation = ORIENTATION_TOPLEFT;
    TIFFGetFieldDefaulted(file.get(), TIFFTAG_ORIENTATION, &orientation);
    raw.turned = orientation >= 1 && orientation <= 8 ? orientation : 1;
    if (auto refusal = read_blocks(source, file.get(), layout, reading, raw.pixels)) {
        return *refusal;
    }
    raw.exif.assign(source.bytes.begin(), source.bytes.end());  // EXIF is laid out as a TIFF is: its own first directory
    return raw;
}

}  // namespace tonebath::picture
