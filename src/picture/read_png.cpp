#include "picture/ended.hpp"

#include <png.h>

#include <csetjmp>
#include <cstring>
#include <memory>
#include <utility>

namespace tonebath::picture {

namespace {

constexpr png_alloc_size_t kMostChunkBytes = 16'000'000;
constexpr png_uint_32 kMostChunks = 1000;

// All that the library jumps over lives here, so that no destructor is passed by.
struct Work {
    png_structp file = nullptr;
    png_infop info = nullptr;
    char words[200] = {};
    const Source* source = nullptr;
    std::size_t at = 0;
    Raw raw;
    std::optional<Refusal> refusal;
};

void on_fault(png_structp file, png_const_charp words) {
    Work& work = *static_cast<Work*>(png_get_error_ptr(file));
    std::strncpy(work.words, words, sizeof work.words - 1);
    png_longjmp(file, 1);
}

void on_warning(png_structp, png_const_charp) {}

void give_bytes(png_structp file, png_bytep to, png_size_t count) {
    Work& work = *static_cast<Work*>(png_get_io_ptr(file));
    if (work.source->bytes.size() - work.at < count) {
        png_error(file, "it ends too early");
    }
    std::memcpy(to, work.source->bytes.data() + work.at, count);
    work.at += count;
}

void keep_chunks(Work& work) {
    png_charp name = nullptr;
    png_bytep data = nullptr;
    png_uint_32 size = 0;
    int method = 0;
    if (png_get_iCCP(work.file, work.info, &name, &method, &data, &size) == PNG_INFO_iCCP && size <= kMostProfileBytes) {
        work.raw.icc.assign(data, data + size);
    }
    int intent = 0;
    if (png_get_sRGB(work.file, work.info, &intent) == PNG_INFO_sRGB) {
        work.raw.primaries = Primaries::srgb;
    }
    if (png_get_eXIf_1(work.file, work.info, &size, &data) == PNG_INFO_eXIf) {
        work.raw.exif.assign(data, data + size);
    }
}

Ended decode(Work& work) {
    if (setjmp(png_jmpbuf(work.file)) != 0) {
        return Ended::damaged;
    }
    png_set_user_limits(work.file, kLongestSide_px, kLongestSide_px);
    png_set_chunk_malloc_max(work.file, kMostChunkBytes);
    png_set_chunk_cache_max(work.file, kMostChunks);
    png_set_read_fn(work.file, &work, give_bytes);
    png_read_info(work.file, work.info);
    const png_uint_32 width = png_get_image_width(work.file, work.info);
    const png_uint_32 height = png_get_image_height(work.file, work.info);
    const png_byte colour = png_get_color_type(work.file, work.info);
    work.refusal = refused_size(*work.source, width, height);
    if (!work.refusal && (colour & PNG_COLOR_MASK_COLOR) == 0) {
        work.refusal = no_colour(*work.source, "it is black and white");
    }
    if (work.refusal) {
        return Ended::refused;
    }
    keep_chunks(work);
    png_set_palette_to_rgb(work.file);
    png_set_strip_alpha(work.file);
    const bool wide = png_get_bit_depth(work.file, work.info) == 16;
    if (wide) {
        png_set_swap(work.file);  // the file has the high byte first
    }
    const int passes = png_set_interlace_handling(work.file);
    png_read_update_info(work.file, work.info);
    Pixels& pixels = work.raw.pixels;
    pixels.width = static_cast<int>(width);
    pixels.height = static_cast<int>(height);
    pixels.bits = wide ? 16 : 8;
    const std::size_t row = std::size_t{3} * width;
    if (png_get_rowbytes(work.file, work.info) != row * (wide ? 2 : 1)) {
        png_error(work.file, "its rows have another length than its head says");
    }
    if (wide) {
        pixels.wide.resize(row * height);
    } else {
        pixels.narrow.resize(row * height);
    }
    for (int pass = 0; pass < passes; ++pass) {
        for (png_uint_32 y = 0; y < height; ++y) {
            png_bytep line = wide ? static_cast<png_bytep>(static_cast<void*>(pixels.wide.data() + row * y))
                                  : pixels.narrow.data() + row * y;
            png_read_row(work.file, line, nullptr);
            if (y % 64 == 0 && work.source->stopped((pass + static_cast<double>(y) / height) / passes)) {
                return Ended::stopped;
            }
        }
    }
    png_read_end(work.file, work.info);
    keep_chunks(work);  // EXIF may stand after the pixels
    return Ended::done;
}

}  // namespace

Result<Raw> read_png(const Source& source) {
    const auto work = std::make_unique<Work>();
    work->source = &source;
    work->raw.kind = FileKind::png;
    work->file = png_create_read_struct(PNG_LIBPNG_VER_STRING, work.get(), on_fault, on_warning);
    work->info = work->file != nullptr ? png_create_info_struct(work->file) : nullptr;
    const Ended ended = work->info != nullptr ? decode(*work) : Ended::damaged;
    png_destroy_read_struct(&work->file, &work->info, nullptr);
    return answer_of(ended, *work);
}

}  // namespace tonebath::picture
