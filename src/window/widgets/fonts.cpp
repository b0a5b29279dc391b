#include "window/widgets/fonts.hpp"

#include <fmt/format.h>
#include <imgui.h>
#include <stb/stb_truetype.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <iterator>
#include <map>

namespace tonebath::window {

namespace {

namespace fs = std::filesystem;

constexpr ImWchar kFull[] = {0x0020, 0x007e, 0x00a0, 0x017f,  // Latin, Latin-1, extended A
                             0x0192, 0x0192, 0x0218, 0x021b, 0x02bc, 0x02bc, 0x02c6, 0x02dd, 0x0370, 0x03ff,  // Greek
                             0x0400, 0x045f, 0x0490, 0x0491,  // Cyrillic
                             0x1e80, 0x1e85, 0x1e9e, 0x1e9e, 0x1ef2, 0x1ef3, 0x2010, 0x2027, 0x202f, 0x203a, 0x2044,
                             0x2044,          // punctuation
                             0x2070, 0x209c,  // super- and subscripts
                             0x20ac, 0x20ac, 0x2103, 0x2109, 0x2116, 0x2116, 0x2122, 0x2126, 0x2153, 0x215e, 0x2190,
                             0x2199, 0x21b5, 0x21b5,  // arrows
                             0x2202, 0x2212, 0x2215, 0x221e, 0x222b, 0x222b, 0x2248, 0x2248, 0x2260, 0x2265, 0x22c5,
                             0x22c5, 0x25a0, 0x25cf, 0x2610, 0x2612, 0x2713, 0x2717, 0xfffd, 0xfffd, 0};

constexpr ImWchar kLatin[] = {0x0020, 0x007e, 0x00a0, 0x017f, 0x2013, 0x2014, 0x2018, 0x201e, 0x2026, 0x2026,
                              0x2080, 0x2089, 0x2190, 0x2193, 0x2212, 0x2212, 0xfffd, 0xfffd, 0};

constexpr ImWchar kDigits[] = {'0', '9', 0};

constexpr ImWchar kIconRanges[] = {0xf004, 0xf004, 0xf100, 0xf100, 0xf210, 0xf210, 0xf349, 0xf349, 0xf3eb, 0xf3eb,
                                   0xf42a, 0xf42a, 0xf50f, 0xf50f, 0xf57e, 0xf57e, 0xf581, 0xf581, 0};

using Bytes = std::vector<char>;

// Metrics of a font file, in font units: its design size, the ascent and descent of its line.
struct FileMetrics {
    float units_per_em = 0;
    float ascent = 0;
    float descent = 0;  // negative
};

std::uint16_t u16_at(const Bytes& data, std::size_t at) {
    return static_cast<std::uint16_t>(static_cast<unsigned char>(data[at]) << 8U |
                                      static_cast<unsigned char>(data[at + 1]));
}

// Reads the head and hhea tables (OpenType 1.9, sections "head" and "hhea"); nothing for what is not a font.
std::optional<FileMetrics> metrics_of(const Bytes& data) {
    if (data.size() < 12) {
        return std::nullopt;
    }
    FileMetrics out;
    const std::size_t tables = u16_at(data, 4);
    for (std::size_t i = 0; i < tables; ++i) {
        const std::size_t entry = 12 + i * 16;
        if (entry + 16 > data.size()) {
            return std::nullopt;
        }
        const std::size_t offset = static_cast<std::size_t>(u16_at(data, entry + 8)) << 16U | u16_at(data, entry + 10);
        if (offset + 36 > data.size()) {
            continue;
        }
        if (std::memcmp(&data[entry], "head", 4) == 0) {
            out.units_per_em = static_cast<float>(u16_at(data, offset + 18));
        } else if (std::memcmp(&data[entry], "hhea", 4) == 0) {
            out.ascent = static_cast<float>(static_cast<std::int16_t>(u16_at(data, offset + 4)));
            out.descent = static_cast<float>(static_cast<std::int16_t>(u16_at(data, offset + 6)));
        }
    }
    if (out.units_per_em <= 0 || out.ascent <= out.descent) {
        return std::nullopt;
    }
    return out;
}

struct LoadedFile {
    Bytes data;
    FileMetrics metrics;
    std::shared_ptr<const Kerning> kerning;
};

// The pairs that the file moves together (its GPOS table). Digits keep their places in every type.
std::shared_ptr<const Kerning> kerning_of(const Bytes& data, const FileMetrics& metrics) {
    stbtt_fontinfo info;
    if (stbtt_InitFont(&info, reinterpret_cast<const unsigned char*>(data.data()), 0) == 0) {  // NOLINT: bytes
        return nullptr;
    }
    const auto digit = [](int c) { return c >= '0' && c <= '9'; };
    auto out = std::make_shared<Kerning>();
    std::array<int, 95> glyphs{};
    for (int c = 0x20; c < 0x7f; ++c) {
        glyphs[static_cast<std::size_t>(c - 0x20)] = stbtt_FindGlyphIndex(&info, c);
    }
    for (int first = 0x20; first < 0x7f; ++first) {
        for (int second = 0x20; second < 0x7f; ++second) {
            if (!digit(first) && !digit(second)) {
                const auto a = static_cast<std::size_t>(first - 0x20);
                const auto b = static_cast<std::size_t>(second - 0x20);
                out->em[a * 95 + b] =
                    static_cast<float>(stbtt_GetGlyphKernAdvance(&info, glyphs[a], glyphs[b])) / metrics.units_per_em;
            }
        }
    }
    return out;
}

class FileShelf {
public:
    explicit FileShelf(const std::vector<fs::path>& folders) {
        for (const fs::path& folder : folders) {
            std::error_code fault;
            for (fs::recursive_directory_iterator it(folder, fs::directory_options::skip_permission_denied, fault), end;
                 !fault && it != end; it.increment(fault)) {
                places_.emplace(it->path().filename().string(), it->path());
            }
        }
    }

    const LoadedFile* get(const std::string& name) {
        if (const auto known = loaded_.find(name); known != loaded_.end()) {
            return known->second ? &*known->second : nullptr;
        }
        std::optional<LoadedFile>& place = loaded_[name];
        const auto found = places_.find(name);
        if (found == places_.end()) {
            return nullptr;
        }
        std::ifstream in(found->second, std::ios::binary);
        Bytes data{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
        if (const auto metrics = metrics_of(data)) {
            auto kerning = kerning_of(data, *metrics);
            place = LoadedFile{std::move(data), *metrics, std::move(kerning)};
        }
        return place ? &*place : nullptr;
    }

private:
    std::map<std::string, fs::path, std::less<>> places_;  // the first folder wins
    std::map<std::string, std::optional<LoadedFile>, std::less<>> loaded_;
};

// Glyph ranges made from the signs of a text; kept alive by the caller.
std::vector<ImWchar> ranges_of(std::string_view signs, bool without_digits) {
    std::vector<ImWchar> out;
    for (const char c : signs) {
        if (!(without_digits && c >= '0' && c <= '9')) {
            out.push_back(static_cast<unsigned char>(c));
            out.push_back(static_cast<unsigned char>(c));
        }
    }
    out.push_back(0);
    return out;
}

// Ranges with the digits taken out, for types whose digits get equal cells.
std::vector<ImWchar> ranges_without_digits(const ImWchar* ranges) {
    std::vector<ImWchar> out{0x0020, '0' - 1, '9' + 1};
    for (const ImWchar* at = ranges + 1; *at != 0; ++at) {
        out.push_back(*at);
    }
    out.push_back(0);
    return out;
}

// Small letters stand between pixels, so they are drawn finer across; large ones stand on whole pixels.
int oversample_for(float em_px) {
    return em_px < 26 ? 3 : em_px < kWholePixelsFromEm ? 2 : 1;
}

// Size in pixels that makes one em of the file `em_px` high: the library scales by ascent minus descent.
float library_size(const FileMetrics& m, float em_px) {
    return em_px * (m.ascent - m.descent) / m.units_per_em;
}

class Builder {
public:
    Builder(ImFontAtlas& atlas, const Look& look, FontSet& set, const std::vector<fs::path>& folders)
        : atlas_(atlas), look_(look), set_(set), shelf_(folders) {}

    void add(Type type) {
        const TypeFace& face = look_[type];
        const float em = set_.width == Width::narrow ? face.size_narrow_em
                         : set_.width == Width::wide ? face.size_wide_em
                                                     : face.size_em;
        FontFace& out = set_.faces[static_cast<std::size_t>(type)];
        out.em_px = std::round(em * look_.base_px * set_.scale * 100) / 100;
        const LoadedFile* file = shelf_.get(face.file);
        if (file == nullptr && look_.merge.size() > 1) {
            say(fmt::format("The letters {} were not found; {} is used instead.", face.file, look_.merge.front()));
            file = shelf_.get(look_.merge.front());
        }
        if (file == nullptr) {
            say("No letters were found at all; the built-in ones are used, without accents.");
            ImFontConfig config;
            config.SizePixels = std::max(13.0F, std::round(out.em_px));
            out.font = atlas_.AddFontDefault(&config);
            return;
        }
        const ImWchar* ranges = face.glyphs == "full" ? kFull : face.glyphs == "latin" ? kLatin : nullptr;
        if (ranges == nullptr) {
            kept_.push_back(ranges_of(face.glyphs, face.equal_digits));
            ranges = kept_.back().data();
        } else if (face.equal_digits) {
            kept_.push_back(ranges_without_digits(ranges));
            ranges = kept_.back().data();
        }
        out.font = add_file(*file, out.em_px, ranges, nullptr, 0);
        out.kerning = file->kerning;
        if (face.equal_digits) {
            add_file(*file, out.em_px, kDigits, out.font, digit_cell(*file) * out.em_px);
        }
        if (face.glyphs == "full") {
            merge_into(*file, out, ranges);
        }
    }

    void say(std::string message) {
        if (std::find(set_.messages.begin(), set_.messages.end(), message) == set_.messages.end()) {
            set_.messages.push_back(std::move(message));
        }
    }

private:
    ImFont* add_file(const LoadedFile& file, float em_px, const ImWchar* ranges, ImFont* into, float cell_px) {
        ImFontConfig config;
        config.FontDataOwnedByAtlas = false;
        config.MergeMode = into != nullptr;
        config.OversampleH = oversample_for(em_px);
        config.OversampleV = 1;
        config.PixelSnapH = false;
        if (cell_px > 0) {
            config.GlyphMinAdvanceX = config.GlyphMaxAdvanceX = cell_px;
        }
        // The library does not write to the data it is lent.
        auto* data = const_cast<char*>(file.data.data());  // NOLINT(cppcoreguidelines-pro-type-const-cast)
        return atlas_.AddFontFromMemoryTTF(data, static_cast<int>(file.data.size()), library_size(file.metrics, em_px),
                                           &config, ranges);
    }

    void merge_into(const LoadedFile& main_file, const FontFace& face, const ImWchar* ranges) {
        for (std::size_t i = 0; i < look_.merge.size(); ++i) {
            const bool icons = i + 1 == look_.merge.size();
            const LoadedFile* file = shelf_.get(look_.merge[i]);
            if (file == nullptr) {
                say(fmt::format("{} was not found; {} will be missing.", look_.merge[i],
                                icons ? "the small pictures" : "some rare signs"));
                continue;
            }
            if (file != &main_file) {
                add_file(*file, icons ? face.em_px * 1.15F : face.em_px, icons ? kIconRanges : ranges, face.font, 0);
            }
        }
    }

    // Width of the equal cells for digits, in em: that of the widest digit.
    float digit_cell(const LoadedFile& file) {
        ImFontAtlas probe;
        ImFontConfig config;
        config.FontDataOwnedByAtlas = false;
        auto* data = const_cast<char*>(file.data.data());  // NOLINT(cppcoreguidelines-pro-type-const-cast)
        constexpr float kProbeEm = 100;
        ImFont* font = probe.AddFontFromMemoryTTF(data, static_cast<int>(file.data.size()),
                                                  library_size(file.metrics, kProbeEm), &config, kDigits);
        probe.Build();
        float widest = 0;
        for (ImWchar c = '0'; c <= '9'; ++c) {
            widest = std::max(widest, font->GetCharAdvance(c));
        }
        return widest / kProbeEm;
    }

    ImFontAtlas& atlas_;
    const Look& look_;
    FontSet& set_;
    FileShelf shelf_;
    std::vector<std::vector<ImWchar>> kept_;
};

}  // namespace

std::vector<fs::path> font_folders() {
    std::vector<fs::path> out{"/usr/share/fonts", "/usr/local/share/fonts"};
    if (const char* home = std::getenv("HOME")) {
        out.emplace_back(fs::path(home) / ".local/share/fonts");
        out.emplace_back(fs::path(home) / ".fonts");
    }
    return out;
}

FontSet build_fonts(ImFontAtlas& atlas, const Look& look, float scale, Width width,
                    const std::vector<fs::path>& folders) {
    FontSet set;
    set.scale = scale;
    set.width = width;
    atlas.Clear();
    atlas.TexDesiredWidth = scale > 1.3F ? 4096 : 2048;
    atlas.Flags |= ImFontAtlasFlags_NoMouseCursors | ImFontAtlasFlags_NoPowerOfTwoHeight;
    Builder builder(atlas, look, set, folders);
    for (int i = 0; i < kTypeCount; ++i) {
        builder.add(static_cast<Type>(i));
    }
    atlas.Build();
    for (FontFace& face : set.faces) {
        face.ascent_px = std::round(face.font->Ascent);
        const ImFontGlyph* capital = face.font->FindGlyphNoFallback('H');
        const ImFontGlyph* small = face.font->FindGlyphNoFallback('x');
        const ImFontGlyph* digit = face.font->FindGlyphNoFallback('0');
        face.cap_px = capital != nullptr ? face.ascent_px - capital->Y0
                      : digit != nullptr ? face.ascent_px - digit->Y0
                                         : face.em_px * 0.73F;
        face.x_px = small != nullptr ? face.ascent_px - small->Y0 : face.em_px * 0.55F;
        face.line_px = std::round(face.em_px * 1.375F);
    }
    atlas.ClearInputData();  // the files are given back when the builder goes
    return set;
}

const unsigned short* full_glyph_ranges() {
    return kFull;
}

bool can_draw(const FontFace& face, std::string_view utf8) {
    const char* at = utf8.data();
    const char* end = at + utf8.size();
    while (at < end) {
        const auto lead = static_cast<unsigned char>(*at);
        const int length = lead < 0x80 ? 1 : lead < 0xe0 ? 2 : lead < 0xf0 ? 3 : 4;
        if (at + length > end || length == 4) {
            return false;
        }
        unsigned code = length == 1 ? lead : length == 2 ? lead & 0x1fU : lead & 0x0fU;
        for (int i = 1; i < length; ++i) {
            code = code << 6U | (static_cast<unsigned char>(at[i]) & 0x3fU);
        }
        if (code >= 0x20 && face.font->FindGlyphNoFallback(static_cast<ImWchar>(code)) == nullptr) {
            return false;
        }
        at += length;
    }
    return true;
}

const char* icon_utf8(Icon icon) {
    // U+F210 F50F F42A F349 F57E F581 F100 F004 F3EB
    constexpr std::array<const char*, kIconCount> kUtf8{"\xef\x88\x90", "\xef\x94\x8f", "\xef\x90\xaa",
                                                        "\xef\x8d\x89", "\xef\x95\xbe", "\xef\x96\x81",
                                                        "\xef\x84\x80", "\xef\x80\x84", "\xef\x8f\xab"};
    return kUtf8[static_cast<std::size_t>(icon)];
}

}  // namespace tonebath::window
