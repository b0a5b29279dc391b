#include "base/text.hpp"
#include "report/writers.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace tonebath::report {

namespace {

using Json = nlohmann::ordered_json;

std::size_t column_width(std::string_view text) {
    std::size_t width = 0;
    while (!text.empty()) {
        static_cast<void>(take_code_point(text));
        ++width;
    }
    return width;
}

std::string text_of_block(const Heading& heading) {
    return heading.text + "\n";
}
std::string text_of_block(const Lines& lines) {
    return joined(lines.lines, "\n") + "\n";
}
std::string text_of_block(const Facts& facts) {
    std::string text;
    for (const Fact& fact : facts.facts) {
        text += fmt::format("  {:<26} {}\n", fact.name, fact.value);
    }
    return text;
}
std::string text_of_block(const Figures& figures) {
    std::string text;
    for (const Figure& figure : figures.figures) {
        text += fmt::format("  {:<26} {}{}\n", figure.name, figure.value, figure.note.empty() ? "" : "  (" + figure.note + ")");
    }
    return text;
}
std::string text_of_block(const Strip& strip) {
    std::string text = "  ";
    for (std::size_t i = 0; i < strip.tones.size(); ++i) {
        const bool aim = static_cast<int>(i) == strip.aim;
        text += fmt::format("{}{}{}{}", i == 0 ? "" : " > ", aim ? "[" : "", strip.tones[i].word, aim ? "]" : "");
    }
    return text + "\n";
}
std::string text_of_block(const Table& table) {
    std::vector<std::size_t> widths(table.head.size(), 0);
    const auto widen = [&widths](const std::vector<std::string>& row) {
        for (std::size_t i = 0; i < widths.size(); ++i) {
            widths[i] = std::max(widths[i], column_width(row.at(i)));
        }
    };
    widen(table.head);
    std::ranges::for_each(table.rows, widen);
    const auto line = [&widths](const std::vector<std::string>& row) {
        std::string text = " ";
        for (std::size_t i = 0; i < widths.size(); ++i) {
            text += " " + row.at(i) + std::string(widths[i] - column_width(row.at(i)) + 1, ' ');
        }
        return text.substr(0, text.find_last_not_of(' ') + 1) + "\n";
    };
    std::string text = table.name.empty() ? "" : table.name + "\n";
    text += line(table.head);
    for (const auto& row : table.rows) {
        text += line(row);
    }
    return text;
}
std::string text_of_block(const Cautions& cautions) {
    std::string text;
    for (const std::string& line : cautions.lines) {
        text += "  ! " + line + "\n";
    }
    return text;
}

Json json_of_block(const Heading& heading) {
    return {{"is", "heading"}, {"text", heading.text}};
}
Json json_of_block(const Lines& lines) {
    return {{"is", "lines"}, {"lines", lines.lines}};
}
Json json_of_block(const Facts& facts) {
    Json all = Json::array();
    for (const Fact& fact : facts.facts) {
        all.push_back({{"name", fact.name}, {"value", fact.value}});
    }
    return {{"is", "facts"}, {"facts", all}};
}
Json json_of_block(const Figures& figures) {
    Json all = Json::array();
    for (const Figure& figure : figures.figures) {
        all.push_back({{"name", figure.name}, {"value", figure.value}, {"note", figure.note}});
    }
    return {{"is", "figures"}, {"figures", all}};
}
Json json_of_block(const Strip& strip) {
    Json words = Json::array();
    for (const StripTone& tone : strip.tones) {
        words.push_back(tone.word);
    }
    return {{"is", "strip"}, {"tones", words}, {"aim", strip.aim < 0 ? Json(nullptr) : Json(words.at(static_cast<std::size_t>(strip.aim)))}};
}
Json json_of_block(const Table& table) {
    return {{"is", "table"}, {"name", table.name}, {"head", table.head}, {"rows", table.rows}};
}
Json json_of_block(const Cautions& cautions) {
    return {{"is", "cautions"}, {"lines", cautions.lines}};
}

}  // namespace

std::string text_of(const Report& report) {
    std::string text = report.title + "\n";
    if (!report.line.empty()) {
        text += report.line + "\n";
    }
    for (const Block& block : report.blocks) {
        text += "\n" + std::visit([](const auto& one) { return text_of_block(one); }, block);
    }
    return text + fmt::format("\n{} · {}\n", report.foot, date_time_text(report.made_at));
}

std::string json_of(const Report& report) {
    Json blocks = Json::array();
    for (const Block& block : report.blocks) {
        blocks.push_back(std::visit([](const auto& one) { return json_of_block(one); }, block));
    }
    return Json{{"kind", report.kind},
                {"title", report.title},
                {"line", report.line},
                {"made", iso_text(report.made_at)},
                {"foot", report.foot},
                {"blocks", blocks}}
               .dump(2) +
           "\n";
}

}  // namespace tonebath::report
