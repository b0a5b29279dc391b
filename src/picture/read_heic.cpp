// HEIC by libheif: a target of its own (TONEBATH_HEIC), because the library's package brings a GPL encoder along.
#include "picture/read.hpp"

#include "picture/release.hpp"

#include <libheif/heif.h>

#include <algorithm>
#include <cstring>
#include <memory>
#include <utility>

namespace tonebath::picture {

namespace {

using Context = std::unique_ptr<heif_context, Release<heif_context_free>>;
using Handle = std::unique_ptr<heif_image_handle, Release<heif_image_handle_release>>;
using Image = std::unique_ptr<heif_image, Release<heif_image_release>>;
using Options = std::unique_ptr<heif_decoding_options, Release<heif_decoding_options_free>>;

// Primaries and transfer functions as numbered in ITU-T H.273.
constexpr int kBt709 = 1, kP3 = 12, kSrgbTransfer = 13;

void keep_profile(const heif_image_handle* handle, Raw& raw) {
    const heif_color_profile_type type = heif_image_handle_get_color_profile_type(handle);
    if (type == heif_color_profile_type_rICC || type == heif_color_profile_type_prof) {
        const std::size_t size = heif_image_handle_get_raw_color_profile_size(handle);
        if (size > 0 && size <= kMostProfileBytes) {
            raw.icc.resize(size);
            if (heif_image_handle_get_raw_color_profile(handle, raw.icc.data()).code != heif_error_Ok) {
                raw.icc.clear();
            }
        }
    } else if (type == heif_color_profile_type_nclx) {
        heif_color_profile_nclx* said = nullptr;
        if (heif_image_handle_get_nclx_color_profile(handle, &said).code == heif_error_Ok && said != nullptr) {
            if (static_cast<int>(said->transfer_characteristics) == kSrgbTransfer) {
                const int primaries = static_cast<int>(said->color_primaries);
                raw.primaries = primaries == kP3      ? Primaries::display_p3
                                : primaries == kBt709 ? Primaries::srgb
                                                      : Primaries::unknown;
            }
            heif_nclx_color_profile_free(said);
        }
    }
}

void keep_exif(const heif_image_handle* handle, Raw& raw) {
    heif_item_id id = 0;
    if (heif_image_handle_get_list_of_metadata_block_IDs(handle, "Exif", &id, 1) != 1) {
        return;
    }
    const std::size_t size = heif_image_handle_get_metadata_size(handle, id);
    if (size < 10 || size > 1'000'000) {
        return;
    }
    std::vector<std::uint8_t> block(size);
    if (heif_image_handle_get_metadata(handle, id, block.data()).code != heif_error_Ok) {
        return;
    }
    // Four bytes, high one first: how far behind them the TIFF structure begins (ISO/IEC 23008-12, annex A).
    const std::size_t skip = 4 + ((std::size_t{block[0]} << 24) | (std::size_t{block[1]} << 16) |
                                  (std::size_t{block[2]} << 8) | std::size_t{block[3]});
    if (skip < size) {
        raw.exif.assign(block.begin() + static_cast<std::ptrdiff_t>(skip), block.end());
    }
}

void copy(const heif_image* image, int bits, Pixels& pixels) {
    int stride = 0;
    const std::uint8_t* from = heif_image_get_plane_readonly(image, heif_channel_interleaved, &stride);
    const std::size_t row = std::size_t{3} * static_cast<std::size_t>(pixels.width);
    for (int y = 0; y < pixels.height; ++y) {
        const std::uint8_t* line = from + static_cast<std::ptrdiff_t>(stride) * y;
        const std::size_t at = row * static_cast<std::size_t>(y);
        if (pixels.bits == 8) {
            std::copy(line, line + row, pixels.narrow.begin() + static_cast<std::ptrdiff_t>(at));
            continue;
        }
        const double most = static_cast<double>((1 << bits) - 1);
        for (std::size_t i = 0; i < row; ++i) {
            const int value = line[2 * i] | (line[2 * i + 1] << 8);
            pixels.wide[at + i] = static_cast<std::uint16_t>(std::min(value / most, 1.0) * 65535.0 + 0.5);
        }
    }
}

}  // namespace

bool reads_heic() {
    return true;
}

Result<Raw> read_heic(const Source& source) {
    const Context context(heif_context_alloc());
    heif_context_set_maximum_image_size_limit(context.get(), kLongestSide_px);
    const auto fault = [&](const heif_error& error) { return damaged(source, error.message != nullptr ? error.message : "it cannot be read"); };
    if (const heif_error error = heif_context_read_from_memory_without_copy(context.get(), source.bytes.data(), source.bytes.size(), nullptr);
        error.code != heif_error_Ok) {
        return fault(error);
    }
    heif_image_handle* primary = nullptr;
    if (const heif_error error = heif_context_get_primary_image_handle(context.get(), &primary); error.code != heif_error_Ok) {
        return fault(error);
    }
    const Handle handle(primary);
    const int width = heif_image_handle_get_width(handle.get());
    const int height = heif_image_handle_get_height(handle.get());
    if (auto refusal = refused_size(source, static_cast<std::uint64_t>(std::max(0, width)), static_cast<std::uint64_t>(std::max(0, height)))) {
        return *refusal;
    }
    if (source.stopped(0.1)) {
        return stopped(source);
    }
    const int bits = std::clamp(heif_image_handle_get_luma_bits_per_pixel(handle.get()), 8, 16);
    Raw raw;
    raw.kind = FileKind::heic;
    keep_profile(handle.get(), raw);
    keep_exif(handle.get(), raw);
    raw.turned = 1;  // the library has turned it by the file's own boxes
    const Options options(heif_decoding_options_alloc());
    heif_image* decoded = nullptr;
    if (const heif_error error = heif_decode_image(handle.get(), &decoded, heif_colorspace_RGB,
                                                   bits == 8 ? heif_chroma_interleaved_RGB : heif_chroma_interleaved_RRGGBB_LE, options.get());
        error.code != heif_error_Ok) {
        return fault(error);
    }
    const Image image(decoded);
    raw.pixels.width = heif_image_get_width(image.get(), heif_channel_interleaved);
    raw.pixels.height = heif_image_get_height(image.get(), heif_channel_interleaved);
    raw.pixels.bits = bits == 8 ? 8 : 16;
    if (auto refusal = refused_size(source, static_cast<std::uint64_t>(std::max(0, raw.pixels.width)), static_cast<std::uint64_t>(std::max(0, raw.pixels.height)))) {
        return *refusal;
    }
    const std::size_t count = std::size_t{3} * static_cast<std::size_t>(raw.pixels.width) * static_cast<std::size_t>(raw.pixels.height);
    if (bits == 8) {
        raw.pixels.narrow.resize(count);
    } else {
        raw.pixels.wide.resize(count);
    }
    copy(image.get(), heif_image_get_bits_per_pixel_range(image.get(), heif_channel_interleaved), raw.pixels);
    if (source.stopped(1.0)) {
        return stopped(source);
    }
    return raw;
}

}  // namespace tonebath::picture
