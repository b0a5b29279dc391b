#include "picture/read.hpp"

#include "base/files.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <system_error>

namespace tonebath::picture {

namespace {

constexpr std::string_view kField = "Photo";

Refusal refusal(const std::string& code, const std::string& name, std::string message, std::string remedy) {
    return {.code = code,
            .field = std::string(kField),
            .value = shown(name),
            .message = std::move(message),
            .remedy = std::move(remedy),
            .answers = {}};
}

bool begins(std::string_view bytes, std::string_view head, std::size_t at = 0) {
    return bytes.size() >= at + head.size() && bytes.substr(at, head.size()) == head;
}

// ISO base media: "ftyp" and a brand that HEIC files carry, as major or compatible brand (ISO/IEC 23008-12).
bool looks_heic(std::string_view bytes) {
    if (!begins(bytes, "ftyp", 4)) {
        return false;
    }
    const std::string_view brands = bytes.substr(8, std::min<std::size_t>(56, bytes.size() - 8));
    return std::ranges::any_of(std::array<std::string_view, 6>{"heic", "heix", "heif", "mif1", "msf1", "hevc"},
                               [&](std::string_view brand) { return brands.find(brand) != std::string_view::npos; });
}

}  // namespace

Refusal damaged(const Source& source, const std::string& what) {
    return refusal("photo.damaged", source.name, "the file is damaged: " + shown(what) + ".",
                   "Copy it from the camera again; nothing was measured.");
}

Refusal stopped(const Source& source) {
    return refusal("photo.stopped", source.name, "reading was stopped.", "Nothing was measured.");
}

Refusal no_colour(const Source& source, const std::string& what) {
    return refusal("photo.no_colour", source.name, what + ": it holds no colours that could be measured.",
                   "Take the photo in colour and keep it as JPEG, PNG or TIFF.");
}

std::optional<Refusal> refused_size(const Source& source, std::uint64_t width, std::uint64_t height) {
    if (width == 0 || height == 0) {
        return damaged(source, "it has no pixels");
    }
    constexpr auto kLongest = static_cast<std::uint64_t>(kLongestSide_px);
    if (width > kLongest || height > kLongest || width * height > kMostPixels) {
        return refusal("photo.too_large", source.name,
                       fmt::format("{} x {} pixels are more than the {} megapixels that are read here.", width, height,
                                   kMostPixels / 1'000'000),
                       "Take it at a smaller size, or cut it down to card and piece.");
    }
    return std::nullopt;
}

Result<Picture> read_picture_bytes(std::string_view bytes, const std::string& name, const GoOn& go_on) {
    const Source source{.bytes = bytes, .name = name, .go_on = go_on};
    auto read = [&]() -> Result<Raw> {
        if (begins(bytes, "\xff\xd8\xff")) {
            return read_jpeg(source);
        }
        if (begins(bytes, "\x89PNG\r\n\x1a\n")) {
            return read_png(source);
        }
        if (begins(bytes, std::string_view("II*\0", 4)) || begins(bytes, std::string_view("MM\0*", 4))) {
            return read_tiff(source);
        }
        if (looks_heic(bytes)) {
            return read_heic(source);
        }
        return refusal("photo.unknown_kind", name,
                       bytes.empty() ? "the file is empty." : "that is no JPEG, PNG, TIFF or HEIC photo.",
                       "Save it as one of these; a raw file can be saved as a 16 bit TIFF.");
    }();
    if (!read) {
        return read.error();
    }
    return Picture(std::move(read).value());
}

Result<Picture> read_picture(const std::filesystem::path& file, const GoOn& go_on) {
    const std::string name = file.filename().string();
    std::error_code fault;
    if (!std::filesystem::is_regular_file(file, fault)) {
        return refusal("photo.no_file", name, "there is no such file.", "Check its name and folder.");
    }
    const std::uintmax_t size = std::filesystem::file_size(file, fault);
    if (fault || size > kMostFileBytes) {
        return refusal("photo.too_large", name,
                       fmt::format("the file is larger than the {} MB that are read here.", kMostFileBytes / 1'000'000),
                       "Save it smaller, or cut it down to card and piece.");
    }
    try {
        return read_picture_bytes(read_file(file), name, go_on);
    } catch (const FileError& fault_read) {
        return refusal("photo.no_file", name, std::string("it cannot be read: ") + fault_read.what(),
                       "Check who may read it.");
    }
}

}  // namespace tonebath::picture
