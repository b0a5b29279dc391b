#include "report/canvas.hpp"

#include <cairo-pdf.h>
#include <pango/pangocairo.h>
#include <qrencode.h>

#include <cctype>
#include <cstdlib>
#include <numbers>

namespace tonebath::report {

namespace {

constexpr double kPoint = 72.0 / 25.4;  // points a mm

struct FreeLayout {
    void operator()(PangoLayout* layout) const { g_object_unref(layout); }
    void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
    void operator()(QRcode* code) const { QRcode_free(code); }
};

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length) {
    static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

void set(cairo_t* context, const Ink& ink) {
    cairo_set_source_rgb(context, ink.red, ink.green, ink.blue);
}

}  // namespace

Ink ink_of(std::string_view colour, Ink otherwise) {
    if (colour.size() != 7 || colour.front() != '#') {
        return otherwise;
    }
    char* end = nullptr;
    const std::string digits(colour.substr(1));
    const unsigned long value = std::strtoul(digits.c_str(), &end, 16);
    if (*end != '\0') {
        return otherwise;
    }
    const auto part = [value](unsigned shift) { return static_cast<double>((value >> shift) & 0xffU) / 255.0; };
    return {part(16), part(8), part(0)};
}

void Canvas::Free::operator()(_cairo_surface* surface) const {
    cairo_surface_destroy(surface);
}

void Canvas::Free::operator()(_cairo* context) const {
    cairo_destroy(context);
}

Canvas::Canvas(std::string& bytes, double width_mm, double height_mm, const std::string& title, const Stamp& made_at)
    : surface_(cairo_pdf_surface_create_for_stream(append, &bytes, width_mm * kPoint, height_mm * kPoint)),
      context_(cairo_create(surface_.get())) {
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATOR, "Tonebath");
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATE_DATE, iso_text(made_at).c_str());
    cairo_scale(context_.get(), kPoint, kPoint);
}

Canvas::~Canvas() {
    context_.reset();
    cairo_surface_finish(surface_.get());
}

void Canvas::next_page() {
    cairo_show_page(context_.get());
}

Extent Canvas::text(double x, double y, double width, std::string_view text, const Type& type, bool drawn) {
    const std::unique_ptr<PangoLayout, FreeLayout> layout(pango_cairo_create_layout(context_.get()));
    // The unit is a millimetre: letters set on whole units would stand far apart.
    pango_context_set_round_glyph_positions(pango_layout_get_context(layout.get()), FALSE);
    const std::unique_ptr<PangoFontDescription, FreeLayout> font(pango_font_description_new());
    pango_font_description_set_family(font.get(), "Inter, DejaVu Sans");
    pango_font_description_set_weight(font.get(), type.strong ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(font.get(), type.size_mm * PANGO_SCALE);
    pango_layout_set_font_description(layout.get(), font.get());
    pango_layout_set_text(layout.get(), text.data(), static_cast<int>(text.size()));
    pango_layout_set_width(layout.get(), static_cast<int>(width * PANGO_SCALE));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
    if (type.one_line) {
        pango_layout_set_height(layout.get(), -1);
        pango_layout_set_ellipsize(layout.get(), PANGO_ELLIPSIZE_END);
    }
    pango_layout_set_alignment(layout.get(), type.side == Side::left     ? PANGO_ALIGN_LEFT
                                             : type.side == Side::middle ? PANGO_ALIGN_CENTER
                                                                         : PANGO_ALIGN_RIGHT);
    if (drawn) {
        set(context_.get(), type.ink);
        cairo_move_to(context_.get(), x, y);
        pango_cairo_show_layout(context_.get(), layout.get());
    }
    PangoRectangle size;
    pango_layout_get_extents(layout.get(), nullptr, &size);
    return {static_cast<double>(size.width) / PANGO_SCALE, static_cast<double>(size.height) / PANGO_SCALE};
}

Extent Canvas::write(double x, double y, double width, std::string_view text, const Type& type) {
    return this->text(x, y, width, text, type, true);
}

Extent Canvas::measure(double width, std::string_view text, const Type& type) {
    return this->text(0.0, 0.0, width, text, type, false);
}

void Canvas::fill(double x, double y, double width, double height, Ink ink) {
    set(context_.get(), ink);
    cairo_rectangle(context_.get(), x, y, width, height);
    cairo_fill(context_.get());
}

void Canvas::blend(double x, double y, double width, double height, Ink from, Ink to) {
    cairo_pattern_t* pattern = cairo_pattern_create_linear(x, y, x + width, y);
    cairo_pattern_add_color_stop_rgb(pattern, 0.0, from.red, from.green, from.blue);
    cairo_pattern_add_color_stop_rgb(pattern, 1.0, to.red, to.green, to.blue);
    cairo_set_source(context_.get(), pattern);
    cairo_rectangle(context_.get(), x, y, width, height);
    cairo_fill(context_.get());
    cairo_pattern_destroy(pattern);
}

void Canvas::frame(double x, double y, double width, double height, Ink ink, double line_mm) {
    set(context_.get(), ink);
    cairo_set_line_width(context_.get(), line_mm);
    cairo_rectangle(context_.get(), x, y, width, height);
    cairo_stroke(context_.get());
}

void Canvas::line(double x1, double y1, double x2, double y2, Ink ink, double line_mm) {
    set(context_.get(), ink);
    cairo_set_line_width(context_.get(), line_mm);
    cairo_move_to(context_.get(), x1, y1);
    cairo_line_to(context_.get(), x2, y2);
    cairo_stroke(context_.get());
}

void Canvas::disc(double x, double y, double radius, Ink ink) {
    set(context_.get(), ink);
    cairo_arc(context_.get(), x, y, radius, 0.0, 2.0 * std::numbers::pi);
    cairo_fill(context_.get());
}

bool Canvas::code(double x, double y, double side, const std::string& payload) {
    const std::unique_ptr<QRcode, FreeLayout> code(QRcode_encodeString8bit(payload.c_str(), 0, QR_ECLEVEL_M));
    if (!code) {
        return false;
    }
    constexpr int kQuietZone = 4;  // modules on each side (ISO/IEC 18004)
    const double module = side / (code->width + 2 * kQuietZone);
    set(context_.get(), {0.0, 0.0, 0.0});
    for (int row = 0; row < code->width; ++row) {
        for (int column = 0; column < code->width; ++column) {
            if ((code->data[row * code->width + column] & 1U) != 0) {
                cairo_rectangle(context_.get(), x + (column + kQuietZone) * module, y + (row + kQuietZone) * module, module, module);
            }
        }
    }
    cairo_fill(context_.get());
    return true;
}

}  // namespace tonebath::report
