#include "window/panels/help_sheet.hpp"

#include "base/files.hpp"
#include "base/text.hpp"

#include <algorithm>

namespace tonebath::window {

namespace {

// Marks of the manual's text that mean nothing on the screen: emphasis, code, links and pictures keep their words.
std::string plain(std::string_view line) {
    std::string words;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (line[i] == '*' || line[i] == '`') {
            continue;
        }
        if (line[i] == ']' && i + 1 < line.size() && line[i + 1] == '(') {
            const std::size_t end = line.find(')', i);
            i = end == std::string_view::npos ? line.size() : end;
            continue;
        }
        if (line[i] != '[') {
            words += line[i];
        }
    }
    return words;
}

}  // namespace

void HelpSheet::open(std::string_view topic) {
    open_ = true;
    lines_.clear();
    scroll_ = {};
    title_ = label_ = std::string(topic);
    const std::filesystem::path file = folder_ / (std::string(topic) + ".md");
    std::string text;
    try {
        text = read_file(file);
    } catch (const FileError& problem) {
        lines_.push_back({Line::Kind::text, problem.what()});
        return;
    }
    read_lines(text);
    label_ = "Manual: " + title_;
}

void HelpSheet::show(std::string title, std::string_view text) {
    open_ = true;
    lines_.clear();
    scroll_ = {};
    title_ = label_ = std::move(title);
    read_lines(text);
}

void HelpSheet::read_lines(std::string_view text) {
    std::string paragraph;
    const auto flush = [&] {
        if (!paragraph.empty()) {
            lines_.push_back({Line::Kind::text, plain(paragraph)});
            paragraph.clear();
        }
    };
    for (const std::string& raw : split(text, '\n')) {
        const std::string_view line = trimmed(raw);
        if (line.starts_with("# ")) {
            title_ = plain(line.substr(2));
        } else if (line.starts_with("## ") || line.starts_with("### ")) {
            flush();
            lines_.push_back({line.starts_with("## ") ? Line::Kind::head : Line::Kind::subhead, plain(line.substr(line.find(' ') + 1))});
        } else if (line.starts_with("- ") || line.starts_with("| ")) {
            flush();
            lines_.push_back({Line::Kind::item, plain(line.substr(2))});
        } else if (line.starts_with("![") || line.starts_with("|-")) {
            flush();  // pictures and table rules
        } else if (line.empty()) {
            flush();
        } else {
            paragraph += paragraph.empty() ? "" : " ";
            paragraph += line;
        }
    }
    flush();
}

void HelpSheet::draw(Ui& ui, float hung_from_x) {
    if (!open_) {
        return;
    }
    Sheet sheet(ui, "manual", label_, hung_from_x);
    Rect inside = sheet.inside();
    const Rect head = inside.cut_top(ui.em(3.0F));
    page_head(ui, head.x0, head.y0 + ui.em(1.75F), title_);
    const float width = std::min(inside.w(), ui.em(45.0F));
    const auto type_of = [](Line::Kind kind) {
        return kind == Line::Kind::head ? Type::leads : kind == Line::Kind::subhead ? Type::strong : Type::body;
    };
    const auto line_h = [&](const Line& line) {
        const float one = ui.em(line.kind == Line::Kind::head ? 2.0F : 1.5F);
        const float indent = line.kind == Line::Kind::item ? ui.em(1.25F) : 0.0F;
        const auto rows = static_cast<float>(ui.paint().wrap(type_of(line.kind), width - indent, line.words).size());
        return one * rows + ui.em(line.kind == Line::Kind::item ? 0.25F : 0.75F);
    };
    float content_h = 0.0F;
    for (const Line& line : lines_) {
        content_h += line_h(line);
    }
    Rect content = begin_scroll(ui, "text", inside, content_h, scroll_, true);
    float y = content.y0;
    for (const Line& line : lines_) {
        const float indent = line.kind == Line::Kind::item ? ui.em(1.25F) : 0.0F;
        const float one = ui.em(line.kind == Line::Kind::head ? 2.0F : 1.5F);
        if (line.kind == Line::Kind::item) {
            ui.paint().circle({content.x0 + ui.em(0.5F), y + ui.em(0.75F)}, ui.em(0.15F), ui.colour(Role::copper));
        }
        ui.paint().text_wrapped(type_of(line.kind), ui.colour(line.kind == Line::Kind::head ? Role::ink : Role::text),
                                {content.x0 + indent, y + ui.em(1.0F)}, width - indent, line.words, Align::left, one);
        y += line_h(line);
    }
    end_scroll(ui);
    if (sheet.closed()) {
        open_ = false;
    }
}

}  // namespace tonebath::window
