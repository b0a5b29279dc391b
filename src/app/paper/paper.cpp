#include "app/paper/paper.hpp"

#include "base/files.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "report/writers.hpp"

#include <fmt/format.h>

#include <charconv>

namespace tonebath::app {

namespace {

// "3x8" as 3 and 8.
std::optional<std::pair<int, int>> two_numbers(std::string_view text) {
    int one = 0;
    int other = 0;
    const char* end = text.data() + text.size();
    const auto first = std::from_chars(text.data(), end, one);
    if (first.ec != std::errc{} || first.ptr == end || (*first.ptr != 'x' && *first.ptr != 'X')) {
        return std::nullopt;
    }
    const auto second = std::from_chars(first.ptr + 1, end, other);
    if (second.ec != std::errc{} || second.ptr != end) {
        return std::nullopt;
    }
    return std::pair(one, other);
}

Result<Done> save(const std::string& bytes, const std::filesystem::path& file) {
    try {
        write_file_whole(file, bytes);
    } catch (const FileError& trouble) {
        return Refusal{.code = "paper.not_written",
                       .field = "Out",
                       .value = file.string(),
                       .message = fmt::format("it could not be written ({}).", trouble.what()),
                       .remedy = "Name another place, or make room there.",
                       .answers = {}};
    }
    return Done{};
}

}  // namespace

Result<report::LabelSheet> label_sheet(std::string_view typed, report::PaperSize size) {
    constexpr double kLeast_mm = 18.0;  // a QR code and a number, still read by a telephone: ours
    constexpr double kMost_mm = 300.0;
    std::string_view text = trimmed(typed);
    const bool one_a_page = text.ends_with("mm");
    const auto numbers = two_numbers(trimmed(one_a_page ? text.substr(0, text.size() - 2) : text));
    report::LabelSheet sheet;
    if (numbers && numbers->first > 0 && numbers->second > 0) {
        const report::PageSize page =
            one_a_page ? report::PageSize{static_cast<double>(numbers->first), static_cast<double>(numbers->second)} : report::page_size(size);
        sheet = {.page_width = page.width_mm, .page_height = page.height_mm, .columns = one_a_page ? 1 : numbers->first,
                 .rows = one_a_page ? 1 : numbers->second};
        sheet.label_width = sheet.page_width / sheet.columns;
        sheet.label_height = sheet.page_height / sheet.rows;
    }
    const bool fits = sheet.label_width >= kLeast_mm && sheet.label_height >= kLeast_mm &&
                      sheet.label_width <= kMost_mm && sheet.label_height <= kMost_mm;
    if (!fits) {
        return Refusal{.code = "label.bad_sheet",
                       .field = "Sheet",
                       .value = shown(typed),
                       .message = "that is no sheet of labels, or its labels are under 18 mm.",
                       .remedy = "Type columns and rows, \"3x8\", or one label a page, \"62x29mm\".",
                       .answers = {}};
    }
    return sheet;
}

Result<Done> save_pdf(const report::Report& report, report::PaperSize size, const std::filesystem::path& file) {
    return save(report::pdf_of(report, size), file);
}

Result<Done> save_pdf(const std::vector<report::Label>& labels, const report::LabelSheet& sheet, int used,
                      const Stamp& made_at, const std::filesystem::path& file) {
    return save(report::pdf_of(labels, sheet, used, made_at), file);
}

std::string report_text(const report::Report& report) {
    return report::text_of(report);
}

std::string report_json(const report::Report& report) {
    return report::json_of(report);
}

}  // namespace tonebath::app
