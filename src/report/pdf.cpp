#include "report/canvas.hpp"
#include "report/writers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::report {

namespace {

constexpr double kMargin = 15.0;
constexpr double kGap = 3.2;          // between blocks
constexpr double kFootHeight = 8.0;
constexpr double kArmsLengthDigits = 8.4;  // mm; a little more than the 8 that are promised
constexpr double kFigureDigits = 12.0;

const Type kSmall{.size_mm = 3.0, .ink = kQuiet};

// One way down the pages: measures a block, turns the page where it does not fit, and draws it.
class Flow {
public:
    Flow(Canvas& canvas, const Report& report, PageSize page, int pages)
        : canvas_(canvas), report_(report), page_(page), pages_(pages), width_(page.width_mm - 2.0 * kMargin), body_{.size_mm = 3.7 * report.letters} {}

    // How many pages it took.
    int run() {
        y_ = kMargin;
        y_ += write(report_.title, {.size_mm = 8.5 * report_.letters, .strong = true}, true);
        if (!report_.line.empty()) {
            y_ += write(report_.line, {.size_mm = 4.2 * report_.letters, .ink = kQuiet}, true);
        }
        y_ += kGap;
        for (const Block& block : report_.blocks) {
            std::visit([this](const auto& one) { put(one); }, block);
            y_ += kGap;
        }
        foot();
        canvas_.next_page();
        return number_;
    }

private:
    [[nodiscard]] double bottom() const { return page_.height_mm - kMargin - kFootHeight; }

    void foot() {
        const double y = page_.height_mm - kMargin - 4.0;
        canvas_.line(kMargin, y - 1.5, kMargin + width_, y - 1.5, kLine, 0.2);
        Type type = kSmall;
        type.one_line = true;
        canvas_.write(kMargin, y, width_ * 0.62, report_.foot, type);
        type.side = Side::right;
        canvas_.write(kMargin + width_ * 0.62, y, width_ * 0.38,
                      fmt::format("{} {} · page {} of {}", date_text(report_.made_at), time_text(report_.made_at), number_, pages_), type);
    }

    void room_for(double height) {
        if (y_ + height > bottom() && y_ > kMargin) {
            foot();
            canvas_.next_page();
            ++number_;
            y_ = kMargin;
        }
    }

    double write(const std::string& text, const Type& type, bool drawn) {
        return (drawn ? canvas_.write(kMargin, y_, width_, text, type) : canvas_.measure(width_, text, type)).height;
    }

    void put_line(const std::string& text, const Type& type) {
        room_for(write(text, type, false));
        y_ += write(text, type, true) + 0.8;
    }

    void put(const Heading& heading) {
        const Type type{.size_mm = 5.0 * report_.letters, .strong = true};
        room_for(write(heading.text, type, false) + 12.0);  // never alone at the end of a page
        y_ += write(heading.text, type, true) - kGap + 1.0;
    }

    void put(const Lines& lines) {
        for (const std::string& line : lines.lines) {
            put_line(line, body_);
        }
    }

    void put(const Facts& facts) {
        const double names = width_ * 0.28;
        for (const Fact& fact : facts.facts) {
            const double height = std::max(canvas_.measure(width_ - names, fact.value, body_).height,
                                           canvas_.measure(names - 3.0, fact.name, body_).height);
            room_for(height);
            Type name = body_;
            name.ink = kQuiet;
            canvas_.write(kMargin, y_, names - 3.0, fact.name, name);
            canvas_.write(kMargin + names, y_, width_ - names, fact.value, body_);
            y_ += height + 0.8;
        }
    }

    void put(const Figures& figures) {
        if (figures.figures.empty()) {
            return;
        }
        const double each = width_ / static_cast<double>(figures.figures.size());
        const Type value{.size_mm = kFigureDigits / kDigitHeight, .strong = true, .one_line = true};
        Type note = kSmall;
        note.size_mm = 3.6 * report_.letters;
        const double digits = canvas_.measure(each, "0", value).height;
        room_for(digits + 10.0);
        for (std::size_t i = 0; i < figures.figures.size(); ++i) {
            const double x = kMargin + each * static_cast<double>(i);
            canvas_.write(x, y_, each - 2.0, figures.figures[i].name, note);
            canvas_.write(x, y_ + 3.4 * report_.letters, each - 2.0, figures.figures[i].value, value);
            canvas_.write(x, y_ + 3.4 * report_.letters - 1.0 + digits, each - 2.0, figures.figures[i].note, note);
        }
        y_ += digits + 8.0 * report_.letters - 1.0;
    }

    void put(const Strip& strip) {
        if (strip.tones.empty()) {
            return;
        }
        constexpr double kHeight = 12.0;
        constexpr double kBare = 12.0;  // the snipped end with its hole
        room_for(kHeight + 10.0);
        const Ink bare = ink_of(strip.bare_colour, {0.85, 0.85, 0.84});
        const double each = (width_ - kBare) / static_cast<double>(strip.tones.size());
        const double y = y_ + 2.0;
        canvas_.fill(kMargin, y, kBare, kHeight, bare);
        Ink before = bare;
        for (std::size_t i = 0; i < strip.tones.size(); ++i) {
            const double x = kMargin + kBare + each * static_cast<double>(i);
            const Ink ink = ink_of(strip.tones[i].colour, bare);
            canvas_.blend(x, y, each * 0.35, kHeight, before, ink);
            canvas_.fill(x + each * 0.34, y, each * 0.66, kHeight, ink);
            canvas_.line(x, y, x, y + kHeight, kQuiet, 0.15);
            const bool aim = static_cast<int>(i) == strip.aim;
            canvas_.write(x, y + kHeight + 2.5, each, strip.tones[i].word,
                          {.size_mm = std::min(3.4, each * 0.2), .strong = aim, .side = Side::middle, .one_line = true});
            before = ink;
        }
        canvas_.frame(kMargin, y, width_, kHeight, kQuiet, 0.2);
        canvas_.disc(kMargin + kBare / 3.0, y + kHeight / 2.0, 1.2, kInk);
        if (strip.aim >= 0 && strip.aim < static_cast<int>(strip.tones.size())) {
            bracket(kMargin + kBare + each * strip.aim, y, each, kHeight);
        }
        y_ += kHeight + 9.0;
    }

    // Feet turned inward, standing proud of the strip; never closed into a box.
    void bracket(double x, double y, double width, double height) {
        constexpr double kProud = 1.6;
        constexpr double kFoot = 2.4;
        for (const double side : {x, x + width}) {
            const double in = side == x ? kFoot : -kFoot;
            canvas_.line(side, y - kProud, side, y + height + kProud, kCopper, 0.8);
            canvas_.line(side, y - kProud, side + in, y - kProud, kCopper, 0.8);
            canvas_.line(side, y + height + kProud, side + in, y + height + kProud, kCopper, 0.8);
        }
    }

    // Natural widths and the rest shared out evenly. Where they do not fit, narrow columns keep theirs and the wide ones
    // share what is left.
    std::vector<double> columns(const Table& table, const Type& cell, const Type& head) {
        std::vector<double> widths;
        for (std::size_t column = 0; column < table.head.size(); ++column) {
            double widest = canvas_.measure(10.0 * width_, table.head[column], head).width;
            for (const auto& row : table.rows) {
                widest = std::max(widest, canvas_.measure(10.0 * width_, row.at(column), cell).width);
            }
            widths.push_back(widest + 3.0);
        }
        std::vector<double> narrowest_first = widths;
        std::ranges::sort(narrowest_first);
        double left = width_;
        double most = width_;
        for (std::size_t i = 0; i < narrowest_first.size(); ++i) {
            const double share = left / static_cast<double>(narrowest_first.size() - i);
            if (narrowest_first[i] > share) {
                most = share;
                left = 0.0;
                break;
            }
            left -= narrowest_first[i];
        }
        for (double& one : widths) {
            one = std::min(one, most) + left / static_cast<double>(widths.size());
        }
        return widths;
    }

    double put_row(const std::vector<std::string>& row, const std::vector<double>& widths, const Type& type, bool drawn) {
        double x = kMargin;
        double height = 0.0;
        for (std::size_t column = 0; column < widths.size(); ++column) {
            const double width = widths[column] - 2.0;
            const Extent size = drawn ? canvas_.write(x, y_, width, row.at(column), type)
                                      : canvas_.measure(width, row.at(column), type);
            height = std::max(height, size.height);
            x += widths[column];
        }
        return height;
    }

    void put(const Table& table) {
        const Type head{.size_mm = 3.2, .ink = kQuiet};
        const Type cell{.size_mm = table.arms_length ? kArmsLengthDigits / kDigitHeight : 3.5, .strong = table.arms_length};
        const std::vector<double> widths = columns(table, cell, head);
        const auto put_head = [&] {
            y_ += put_row(table.head, widths, head, true);
            canvas_.line(kMargin, y_ + 0.4, kMargin + width_, y_ + 0.4, kQuiet, 0.3);
            y_ += 1.0;
        };
        // Its name, its head and its first row stay together.
        constexpr double kNameHeight = 14.0;
        room_for((table.name.empty() ? 0.0 : kNameHeight * report_.letters) + put_row(table.head, widths, head, false) +
                 (table.rows.empty() ? 0.0 : put_row(table.rows.front(), widths, cell, false)) + 3.0);
        if (!table.name.empty()) {
            put(Heading{table.name});
            y_ += kGap;
        }
        put_head();
        for (const auto& row : table.rows) {
            const double height = put_row(row, widths, cell, false) + (table.arms_length ? 0.0 : 1.0);
            const int page = number_;
            room_for(height);
            if (number_ != page) {
                put_head();
            }
            put_row(row, widths, cell, true);
            y_ += height;
            canvas_.line(kMargin, y_ - 0.5, kMargin + width_, y_ - 0.5, kLine, 0.15);
        }
    }

    void put(const Cautions& cautions) {
        constexpr double kInset = 3.0;
        const Type type{.size_mm = 3.6 * report_.letters};
        double height = 2.0 * kInset - 1.0;
        for (const std::string& line : cautions.lines) {
            height += canvas_.measure(width_ - 2.0 * kInset, line, type).height + 1.0;
        }
        room_for(height);
        canvas_.frame(kMargin, y_, width_, height, kInk, 0.5);
        double y = y_ + kInset;
        for (const std::string& line : cautions.lines) {
            y += canvas_.write(kMargin + kInset, y, width_ - 2.0 * kInset, line, type).height + 1.0;
        }
        y_ += height;
    }

    Canvas& canvas_;
    const Report& report_;
    PageSize page_;
    int pages_;
    double width_;
    Type body_;
    double y_ = 0.0;
    int number_ = 1;
};

int run(const Report& report, PageSize page, int pages, std::string& bytes) {
    Canvas canvas(bytes, page.width_mm, page.height_mm, report.title, report.made_at);
    return Flow(canvas, report, page, pages).run();
}

}  // namespace

int pages_of(const Report& report, PaperSize size) {
    std::string unused;
    return run(report, page_size(size), 0, unused);
}

std::string pdf_of(const Report& report, PaperSize size) {
    std::string bytes;
    run(report, page_size(size), pages_of(report, size), bytes);
    return bytes;
}

}  // namespace tonebath::report
