// The letters of the painter: measuring, breaking and drawing them.
#include "window/widgets/paint.hpp"

#include <imgui.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

std::size_t sign_length(char lead) {
    const auto byte = static_cast<unsigned char>(lead);
    return byte < 0x80 ? 1 : byte < 0xe0 ? 2 : byte < 0xf0 ? 3 : 4;
}

// One sign of a text, and how far it is from the start.
struct PlacedSign {
    unsigned code = 0;
    float x = 0;
};

// Walks a text sign by sign with the pairs moved together; returns the width.
template <class Visit>
float walk(const FontFace& face, std::string_view utf8, Visit visit) {
    float x = 0;
    unsigned before = 0;
    for (std::size_t at = 0; at < utf8.size();) {
        const std::size_t length = std::min(sign_length(utf8[at]), utf8.size() - at);
        const auto lead = static_cast<unsigned char>(utf8[at]);
        unsigned code = length == 1 ? lead : length == 2 ? lead & 0x1fU : length == 3 ? lead & 0x0fU : 0xfffdU;
        for (std::size_t i = 1; i < length && length < 4; ++i) {
            code = code << 6U | (static_cast<unsigned char>(utf8[at + i]) & 0x3fU);
        }
        if (face.kerning && before != 0) {
            x += face.kerning->between(before, code) * face.em_px;
        }
        visit(PlacedSign{code, x});
        x += face.font->GetCharAdvance(static_cast<ImWchar>(code));
        before = code;
        at += length;
    }
    return x;
}

void draw_signs(ImDrawList& list, const FontFace& face, Vec2 at, ImU32 colour, std::string_view utf8) {
    walk(face, utf8, [&](const PlacedSign& sign) {
        const ImFontGlyph* glyph = face.font->FindGlyph(static_cast<ImWchar>(sign.code));
        if (glyph == nullptr || !glyph->Visible) {
            return;
        }
        const float x = face.em_px >= kWholePixelsFromEm ? std::round(at.x + sign.x) : at.x + sign.x;
        list.PrimReserve(6, 4);
        list.PrimRectUV({x + glyph->X0, at.y + glyph->Y0}, {x + glyph->X1, at.y + glyph->Y1}, {glyph->U0, glyph->V0},
                        {glyph->U1, glyph->V1}, colour);
    });
}

}  // namespace

float Painter::text_width(Type type, std::string_view utf8) const {
    return walk((*fonts_)[type], utf8, [](const PlacedSign&) {});
}

float Painter::text(Type type, Colour c, Vec2 at, std::string_view utf8, Align align) {
    if (utf8.empty()) {
        return 0;
    }
    const FontFace& face = (*fonts_)[type];
    const float width = text_width(type, utf8);
    float x = at.x;
    if (align == Align::centre) {
        x -= width * 0.5F;
    } else if (align == Align::right) {
        x -= width;
    }
    x = std::round(x);
    const float y = std::round(at.y) - face.ascent_px;
    draw_signs(*list_, face, {x, y}, c.packed(), utf8);
    if (probe_ != nullptr) {
        ProbeText seen;
        seen.text = std::string(utf8);
        seen.rect = {x, std::round(at.y) - face.cap_px, x + width, std::round(at.y)};
        seen.type = type;
        seen.fg = c;
        seen.bg = surface();
        seen.layer = layer_;
        if (!clips_.empty()) {
            const Rect inside = seen.rect.overlap(clips_.back());
            if (inside.empty()) {
                return width;  // nothing of it is seen
            }
            seen.clipped = inside.x0 > seen.rect.x0 + 1 || inside.x1 < seen.rect.x1 - 1;
        }
        probe_->add(std::move(seen));
    }
    return width;
}

float Painter::text_in(Type type, Colour c, const Rect& r, std::string_view utf8, Align align) {
    const FontFace& face = (*fonts_)[type];
    const float baseline = std::round(r.mid_y() + face.cap_px * 0.5F);
    const float x = align == Align::left ? r.x0 : align == Align::right ? r.x1 : r.mid_x();
    if (text_width(type, utf8) <= r.w() + 0.5F) {
        return text(type, c, {x, baseline}, utf8, align);
    }
    return text(type, c, {x, baseline}, ellipsis(type, r.w(), utf8), align);
}

std::vector<std::string> Painter::wrap(Type type, float width, std::string_view utf8) const {
    std::vector<std::string> lines;
    std::string line;
    std::size_t at = 0;
    while (at <= utf8.size()) {
        const std::size_t end = std::min(utf8.find_first_of(" \n", at), utf8.size());
        const std::string_view word = utf8.substr(at, end - at);
        std::string longer = line.empty() ? std::string(word) : line + " " + std::string(word);
        if (!line.empty() && text_width(type, longer) > width) {
            lines.push_back(std::move(line));
            longer = std::string(word);
        }
        line = std::move(longer);
        if (end == utf8.size()) {
            break;
        }
        if (utf8[end] == '\n') {
            lines.push_back(std::move(line));
            line.clear();
        }
        at = end + 1;
    }
    lines.push_back(std::move(line));
    return lines;
}

float Painter::text_wrapped(Type type, Colour c, Vec2 first_baseline, float width, std::string_view utf8, Align align,
                            float line_px) {
    const float step = line_px > 0 ? line_px : (*fonts_)[type].line_px;
    float y = first_baseline.y;
    for (const std::string& line : wrap(type, width, utf8)) {
        text(type, c, {first_baseline.x, y}, line, align);
        y += step;
    }
    return y - first_baseline.y;
}

std::string Painter::ellipsis(Type type, float width, std::string_view utf8) const {
    if (text_width(type, utf8) <= width) {
        return std::string(utf8);
    }
    const float dots = text_width(type, "…");
    std::size_t kept = 0;
    while (kept < utf8.size()) {
        const std::size_t next = std::min(utf8.size(), kept + sign_length(utf8[kept]));
        if (text_width(type, utf8.substr(0, next)) + dots > width) {
            break;
        }
        kept = next;
    }
    while (kept > 0 && utf8[kept - 1] == ' ') {
        --kept;
    }
    return std::string(utf8.substr(0, kept)) + "…";
}

void Painter::icon(Icon icon, Colour c, Vec2 centre, Type type) {
    const FontFace& face = (*fonts_)[type];
    const char* utf8 = icon_utf8(icon);
    const float width = text_width(type, utf8);
    const Vec2 at{std::round(centre.x - width * 0.5F), std::round(centre.y + face.em_px * 0.40F) - face.ascent_px};
    draw_signs(*list_, face, at, c.packed(), utf8);
}

}  // namespace tonebath::window
