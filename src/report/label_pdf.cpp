#include "report/canvas.hpp"
#include "report/writers.hpp"

#include <algorithm>

namespace tonebath::report {

namespace {

constexpr double kInset = 2.5;

// Its height with letters of `small` mm; drawn where `ink` is set.
double words(Canvas& canvas, const Label& label, double x, double y, double width, double small, bool ink) {
    double down = 0.0;
    const auto put = [&](const std::string& text, const Type& type) {
        down += (ink ? canvas.write(x, y + down, width, text, type) : canvas.measure(width, text, type)).height;
    };
    put(label.number + "+" + label.check, {.size_mm = 2.3 * small, .strong = true, .one_line = true});
    bool first = true;
    for (const std::string& text : label.lines) {
        put(text, {.size_mm = small, .strong = first});
        first = false;
    }
    if (!label.hazard.empty()) {
        down += 0.3 * small;
        put(label.hazard, {.size_mm = small, .strong = true});
    }
    return down;
}

// In ink alone: labels come off printers of every kind. The letters are as large as the label has room for.
void draw(Canvas& canvas, const Label& label, double x, double y, const LabelSheet& sheet) {
    constexpr double kLargest = 3.0;
    constexpr double kSmallest = 1.4;
    const double height = sheet.label_height - 2.0 * kInset;
    const double code = std::min(height, sheet.label_width * 0.42);
    const double width = sheet.label_width - 2.0 * kInset - code;
    double small = kLargest;
    while (small > kSmallest && words(canvas, label, 0.0, 0.0, width, small, false) > height) {
        small -= 0.1;
    }
    words(canvas, label, x + kInset, y + kInset, width, small, true);
    canvas.code(x + sheet.label_width - kInset - code, y + kInset, code, label.payload);
}

}  // namespace

std::string pdf_of(const std::vector<Label>& labels, const LabelSheet& sheet, int used, const Stamp& made_at) {
    std::string bytes;
    {
        Canvas canvas(bytes, sheet.page_width, sheet.page_height, "Labels", made_at);
        const int places = sheet.columns * sheet.rows;
        int place = used % places;
        for (std::size_t i = 0; i < labels.size(); ++i, ++place) {
            if (place == places) {
                canvas.next_page();
                place = 0;
            }
            draw(canvas, labels[i], sheet.left() + sheet.label_width * (place % sheet.columns),
                 sheet.top() + sheet.label_height * (place / sheet.columns), sheet);
        }
        canvas.next_page();
    }
    return bytes;
}

}  // namespace tonebath::report
