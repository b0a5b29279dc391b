#include "picture/read.hpp"

#include "base/text.hpp"
#include "picture/release.hpp"

#include <libexif/exif-data.h>

#include <algorithm>
#include <array>
#include <memory>

namespace tonebath::picture {

namespace {

constexpr std::size_t kMostExif_bytes = 65'500;  // of the structure; what follows is the pixels of a TIFF

const ExifEntry* entry_of(const ExifData* data, ExifIfd ifd, ExifTag tag) {
    return exif_content_get_entry(data->ifd[ifd], tag);
}

std::string text_of(const ExifData* data, ExifIfd ifd, ExifTag tag) {
    const ExifEntry* entry = entry_of(data, ifd, tag);
    if (entry == nullptr || entry->format != EXIF_FORMAT_ASCII || entry->data == nullptr) {
        return {};
    }
    const std::string_view raw(static_cast<const char*>(static_cast<const void*>(entry->data)), entry->size);
    const std::string_view text = trimmed(raw.substr(0, raw.find('\0')));
    return is_valid_utf8(text) ? shortened(text, 80) : std::string();
}

std::optional<int> number_of(const ExifData* data, ExifIfd ifd, ExifTag tag) {
    const ExifEntry* entry = entry_of(data, ifd, tag);
    if (entry == nullptr || entry->format != EXIF_FORMAT_SHORT || entry->data == nullptr || entry->size < 2) {
        return std::nullopt;
    }
    return exif_get_short(entry->data, exif_data_get_byte_order(const_cast<ExifData*>(data)));
}

// EXIF 2.3, 4.6.5: 0 is normal for each of them.
void keep_edits(const ExifData* data, Exif& exif) {
    if (number_of(data, EXIF_IFD_EXIF, EXIF_TAG_CUSTOM_RENDERED).value_or(0) == 1) {
        exif.edits.emplace_back("rendered in a way of its own");
    }
    struct Setting {
        ExifTag tag;
        std::string_view word;
    };
    constexpr std::array<Setting, 3> kSettings{{{EXIF_TAG_CONTRAST, "contrast"},
                                                {EXIF_TAG_SATURATION, "saturation"},
                                                {EXIF_TAG_SHARPNESS, "sharpness"}}};
    for (const Setting& setting : kSettings) {
        if (const auto level = number_of(data, EXIF_IFD_EXIF, setting.tag); level && *level != 0) {
            exif.edits.push_back(std::string(setting.word) + " not normal");
        }
    }
    if (!exif.taken.empty() && !exif.changed.empty() && exif.taken != exif.changed) {
        exif.edits.push_back("saved again at " + exif.changed +
                             (exif.software.empty() ? std::string() : " by " + exif.software));
    }
}

}  // namespace

Exif read_exif(const std::vector<std::uint8_t>& tiff) {
    Exif exif;
    if (tiff.size() < 8) {
        return exif;
    }
    // The library wants the head of a JPEG marker before the structure.
    std::vector<std::uint8_t> block{'E', 'x', 'i', 'f', 0, 0};
    block.insert(block.end(), tiff.begin(), tiff.begin() + static_cast<std::ptrdiff_t>(std::min(tiff.size(), kMostExif_bytes)));
    const std::unique_ptr<ExifData, Release<exif_data_unref>> held(exif_data_new());
    if (!held) {
        return exif;
    }
    exif_data_unset_option(held.get(), EXIF_DATA_OPTION_FOLLOW_SPECIFICATION);
    exif_data_load_data(held.get(), block.data(), static_cast<unsigned>(block.size()));
    const ExifData* data = held.get();
    if (const auto turned = number_of(data, EXIF_IFD_0, EXIF_TAG_ORIENTATION); turned && *turned >= 1 && *turned <= 8) {
        exif.orientation = *turned;
    }
    exif.taken = text_of(data, EXIF_IFD_EXIF, EXIF_TAG_DATE_TIME_ORIGINAL);
    exif.changed = text_of(data, EXIF_IFD_0, EXIF_TAG_DATE_TIME);
    exif.software = text_of(data, EXIF_IFD_0, EXIF_TAG_SOFTWARE);
    if (const auto space = number_of(data, EXIF_IFD_EXIF, EXIF_TAG_COLOR_SPACE)) {
        exif.srgb = *space == 1;
    }
    if (const auto flash = number_of(data, EXIF_IFD_EXIF, EXIF_TAG_FLASH)) {
        exif.flash = (*flash & 1) != 0;
    }
    exif.location = data->ifd[EXIF_IFD_GPS] != nullptr && data->ifd[EXIF_IFD_GPS]->count > 0;
    keep_edits(data, exif);
    return exif;
}

}  // namespace tonebath::picture
