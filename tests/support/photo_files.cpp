#include "support/photo_files.hpp"

#include <cstdio>
#include <jpeglib.h>
#include <lcms2.h>
#include <png.h>
#include <tiffio.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>

namespace tonebath::test {

namespace {

unsigned char narrow(std::uint16_t value) {
    return static_cast<unsigned char>((value + 128) / 257);
}

std::vector<unsigned char> narrow_row(const TestImage& image, int y) {
    std::vector<unsigned char> row;
    for (int i = 0; i < 3 * image.width; ++i) {
        row.push_back(narrow(image.rgb[static_cast<std::size_t>(3 * image.width * y + i)]));
    }
    return row;
}

void marker(jpeg_compress_struct& file, int number, const std::string& data) {
    jpeg_write_marker(&file, number, reinterpret_cast<const JOCTET*>(data.data()), static_cast<unsigned>(data.size()));
}

std::string jpeg(const TestImage& image, const FileParts& parts, bool grey) {
    jpeg_compress_struct file{};
    jpeg_error_mgr faults{};
    file.err = jpeg_std_error(&faults);
    jpeg_create_compress(&file);
    unsigned char* bytes = nullptr;
    unsigned long size = 0;
    jpeg_mem_dest(&file, &bytes, &size);
    file.image_width = static_cast<JDIMENSION>(image.width);
    file.image_height = static_cast<JDIMENSION>(image.height);
    file.input_components = grey ? 1 : 3;
    file.in_color_space = grey ? JCS_GRAYSCALE : JCS_RGB;
    jpeg_set_defaults(&file);
    jpeg_set_quality(&file, parts.jpeg_quality, TRUE);
    if (!grey && parts.full_colour) {
        file.comp_info[0].h_samp_factor = file.comp_info[0].v_samp_factor = 1;
    }
    if (parts.progressive) {
        jpeg_simple_progression(&file);
    }
    jpeg_start_compress(&file, TRUE);
    if (!parts.exif.empty()) {
        marker(file, JPEG_APP0 + 1, std::string("Exif\0\0", 6) + parts.exif);
    }
    if (!parts.xmp.empty()) {
        marker(file, JPEG_APP0 + 1, std::string("http://ns.adobe.com/xap/1.0/\0", 29) + parts.xmp);
    }
    for (std::size_t at = 0, part = 1; at < parts.icc.size(); at += 400, ++part) {  // small parts, so that they must be joined
        const auto count = static_cast<char>((parts.icc.size() + 399) / 400);
        marker(file, JPEG_APP0 + 2, std::string("ICC_PROFILE\0", 12) + static_cast<char>(part) + count + parts.icc.substr(at, 400));
    }
    for (int y = 0; y < image.height; ++y) {
        std::vector<unsigned char> row = narrow_row(image, y);
        if (grey) {
            for (int x = 0; x < image.width; ++x) {
                row[static_cast<std::size_t>(x)] = row[static_cast<std::size_t>(3 * x + 1)];
            }
        }
        JSAMPROW line = row.data();
        jpeg_write_scanlines(&file, &line, 1);
    }
    jpeg_finish_compress(&file);
    jpeg_destroy_compress(&file);
    std::string out(reinterpret_cast<char*>(bytes), size);
    std::free(bytes);
    return out;
}

void number(std::string& out, std::size_t bytes, std::uint32_t value) {  // low byte first
    for (std::size_t i = 0; i < bytes; ++i) {
        out += static_cast<char>((value >> (8 * i)) & 255u);
    }
}

struct Entry {
    std::uint16_t tag, type;
    std::uint32_t count;
    std::string data;
};

Entry text(std::uint16_t tag, const std::string& words) {
    return {tag, 2, static_cast<std::uint32_t>(words.size() + 1), words + '\0'};
}

Entry short_of(std::uint16_t tag, std::uint16_t value) {
    std::string data;
    number(data, 2, value);
    return {tag, 3, 1, data};
}

Entry long_of(std::uint16_t tag, std::uint32_t value) {
    std::string data;
    number(data, 4, value);
    return {tag, 4, 1, data};
}

// Directory that begins `at` bytes into the structure, its long values behind it.
std::string directory(std::vector<Entry> entries, std::size_t at) {
    std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) { return a.tag < b.tag; });
    std::string head, behind;
    number(head, 2, static_cast<std::uint32_t>(entries.size()));
    const std::size_t values = at + 2 + 12 * entries.size() + 4;
    for (Entry& entry : entries) {
        number(head, 2, entry.tag);
        number(head, 2, entry.type);
        number(head, 4, entry.count);
        if (entry.data.size() <= 4) {
            entry.data.resize(4);
            head += entry.data;
        } else {
            number(head, 4, static_cast<std::uint32_t>(values + behind.size()));
            behind += entry.data;
        }
    }
    number(head, 4, 0);
    return head + behind;
}

std::string profile(const cmsCIExyYTRIPLE& primaries) {
    const cmsCIExyY white{0.3127, 0.3290, 1.0};
    cmsFloat64Number curve[] = {2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045};
    cmsToneCurve* one = cmsBuildParametricToneCurve(nullptr, 4, curve);
    cmsToneCurve* three[] = {one, one, one};
    cmsHPROFILE made = cmsCreateRGBProfile(&white, &primaries, three);
    cmsUInt32Number size = 0;
    cmsSaveProfileToMem(made, nullptr, &size);
    std::string bytes(size, '\0');
    cmsSaveProfileToMem(made, bytes.data(), &size);
    cmsCloseProfile(made);
    cmsFreeToneCurve(one);
    return bytes;
}

}  // namespace

void TestImage::put(int x, int y, std::uint16_t r, std::uint16_t g, std::uint16_t b) {
    const auto at = static_cast<std::size_t>(3 * (y * width + x));
    rgb[at] = r;
    rgb[at + 1] = g;
    rgb[at + 2] = b;
}

TestImage ramp(int width, int height) {
    TestImage image{.width = width, .height = height, .rgb = std::vector<std::uint16_t>(static_cast<std::size_t>(3 * width * height))};
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            image.put(x, y, static_cast<std::uint16_t>(8000 + 40000 * x / width), static_cast<std::uint16_t>(12000 + 30000 * y / height),
                      static_cast<std::uint16_t>(50000 - 20000 * x / width));
        }
    }
    return image;
}

std::string jpeg_of(const TestImage& image, const FileParts& parts) {
    return jpeg(image, parts, false);
}

std::string grey_jpeg_of(const TestImage& image) {
    return jpeg(image, {}, true);
}

std::string png_of(const TestImage& image, int bits, const FileParts& parts) {
    std::string out;
    png_structp file = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
    png_infop info = png_create_info_struct(file);
    png_set_write_fn(
        file, &out,
        [](png_structp to, png_bytep data, png_size_t count) {
            static_cast<std::string*>(png_get_io_ptr(to))->append(reinterpret_cast<char*>(data), count);
        },
        nullptr);
    png_set_IHDR(file, info, static_cast<png_uint_32>(image.width), static_cast<png_uint_32>(image.height), bits, PNG_COLOR_TYPE_RGB,
                 parts.progressive ? PNG_INTERLACE_ADAM7 : PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    if (!parts.icc.empty()) {
        png_set_iCCP(file, info, "profile", 0, reinterpret_cast<png_const_bytep>(parts.icc.data()), static_cast<png_uint_32>(parts.icc.size()));
    }
    std::string exif = parts.exif;
    if (!exif.empty()) {
        png_set_eXIf_1(file, info, static_cast<png_uint_32>(exif.size()), reinterpret_cast<png_bytep>(exif.data()));
    }
    png_write_info(file, info);
    std::vector<std::vector<unsigned char>> rows;
    std::vector<png_bytep> lines;
    for (int y = 0; y < image.height; ++y) {
        rows.push_back(narrow_row(image, y));
        if (bits == 16) {
            rows.back().clear();
            for (int i = 0; i < 3 * image.width; ++i) {
                const std::uint16_t value = image.rgb[static_cast<std::size_t>(3 * image.width * y + i)];
                rows.back().push_back(static_cast<unsigned char>(value >> 8));
                rows.back().push_back(static_cast<unsigned char>(value & 255));
            }
        }
    }
    for (auto& row : rows) {
        lines.push_back(row.data());
    }
    png_write_image(file, lines.data());
    png_write_end(file, info);
    png_destroy_write_struct(&file, &info);
    return out;
}

std::string tiff_of(const TestImage& image, const TiffKind& kind, const FileParts& parts) {
    // The library writes to files only where it may seek: a temporary one.
    std::FILE* held = std::tmpfile();
    TIFF* file = TIFFFdOpen(dup(fileno(held)), "photo", "w");
    const auto set = [&](std::uint32_t tag, auto value) { TIFFSetField(file, tag, value); };
    set(TIFFTAG_IMAGEWIDTH, image.width);
    set(TIFFTAG_IMAGELENGTH, image.height);
    set(TIFFTAG_BITSPERSAMPLE, kind.bits);
    set(TIFFTAG_SAMPLESPERPIXEL, 3);
    set(TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_RGB);
    set(TIFFTAG_ORIENTATION, kind.orientation);
    set(TIFFTAG_COMPRESSION, kind.packed ? COMPRESSION_ADOBE_DEFLATE : COMPRESSION_NONE);
    set(TIFFTAG_PLANARCONFIG, kind.planes ? PLANARCONFIG_SEPARATE : PLANARCONFIG_CONTIG);
    if (!parts.icc.empty()) {
        TIFFSetField(file, TIFFTAG_ICCPROFILE, static_cast<std::uint32_t>(parts.icc.size()), parts.icc.data());
    }
    const int block_width = kind.tiled ? 32 : image.width;
    const int block_height = kind.tiled ? 16 : 7;
    if (kind.tiled) {
        set(TIFFTAG_TILEWIDTH, block_width);
        set(TIFFTAG_TILELENGTH, block_height);
    } else {
        set(TIFFTAG_ROWSPERSTRIP, block_height);
    }
    const int sample = kind.bits / 8;
    const int channels = kind.planes ? 1 : 3;
    for (int plane = 0; plane < (kind.planes ? 3 : 1); ++plane) {
        for (int y0 = 0; y0 < image.height; y0 += block_height) {
            for (int x0 = 0; x0 < image.width; x0 += block_width) {
                const int rows = kind.tiled ? block_height : std::min(block_height, image.height - y0);
                std::vector<unsigned char> block(static_cast<std::size_t>(block_width * rows * channels * sample));
                for (int y = 0; y < rows && y0 + y < image.height; ++y) {
                    for (int x = 0; x < block_width && x0 + x < image.width; ++x) {
                        for (int c = 0; c < channels; ++c) {
                            const std::uint16_t value = image.rgb[static_cast<std::size_t>(3 * (image.width * (y0 + y) + x0 + x) + c + plane)];
                            unsigned char* to = &block[static_cast<std::size_t>(((y * block_width + x) * channels + c) * sample)];
                            if (sample == 2) {
                                std::memcpy(to, &value, 2);
                            } else {
                                *to = narrow(value);
                            }
                        }
                    }
                }
                const auto size = static_cast<tmsize_t>(block.size());
                if (kind.tiled) {
                    TIFFWriteTile(file, block.data(), static_cast<std::uint32_t>(x0), static_cast<std::uint32_t>(y0), 0, static_cast<std::uint16_t>(plane));
                } else {
                    TIFFWriteEncodedStrip(file, TIFFComputeStrip(file, static_cast<std::uint32_t>(y0), static_cast<std::uint16_t>(plane)), block.data(), size);
                }
            }
        }
    }
    TIFFClose(file);
    std::string out;
    std::fseek(held, 0, SEEK_END);
    out.resize(static_cast<std::size_t>(std::ftell(held)));
    std::rewind(held);
    out.resize(std::fread(out.data(), 1, out.size(), held));
    std::fclose(held);
    return out;
}

std::string exif_of(const ExifSaid& said) {
    std::vector<Entry> first, own;
    if (said.orientation != 0) {
        first.push_back(short_of(0x0112, static_cast<std::uint16_t>(said.orientation)));
    }
    if (!said.software.empty()) {
        first.push_back(text(0x0131, said.software));
    }
    if (!said.changed.empty()) {
        first.push_back(text(0x0132, said.changed));
    }
    if (!said.taken.empty()) {
        own.push_back(text(0x9003, said.taken));
    }
    for (const auto& [tag, value] : said.shorts) {
        own.push_back(short_of(tag, value));
    }
    first.push_back(long_of(0x8769, 0));
    if (said.location) {
        first.push_back(long_of(0x8825, 0));
    }
    // Lengths do not depend on the two offsets, so that they can be put in at the second go.
    const std::size_t own_at = 8 + directory(first, 8).size();
    const std::size_t place_at = own_at + directory(own, own_at).size();
    for (Entry& entry : first) {
        if (entry.tag == 0x8769) {
            entry = long_of(0x8769, static_cast<std::uint32_t>(own_at));
        } else if (entry.tag == 0x8825) {
            entry = long_of(0x8825, static_cast<std::uint32_t>(place_at));
        }
    }
    std::string out("II*\0\x08\0\0\0", 8);
    out += directory(first, 8) + directory(own, own_at);
    if (said.location) {
        out += directory({text(0x0001, "N")}, place_at);
    }
    return out;
}

std::string srgb_profile() {
    return profile({{0.64, 0.33, 1.0}, {0.30, 0.60, 1.0}, {0.15, 0.06, 1.0}});
}

std::string display_p3_profile() {
    return profile({{0.680, 0.320, 1.0}, {0.265, 0.690, 1.0}, {0.150, 0.060, 1.0}});
}

}  // namespace tonebath::test
