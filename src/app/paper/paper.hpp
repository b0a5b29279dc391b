// Paper out: reports and labels put into a file, and the labels of records.
#pragma once

#include "app/learning.hpp"
#include "base/result.hpp"
#include "report/label.hpp"
#include "report/report.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// "3x8": columns and rows that fill the page. "62x29mm": one label a page of that size.
// Refusal "label.bad_sheet".
[[nodiscard]] Result<report::LabelSheet> label_sheet(std::string_view typed, report::PaperSize size);

// Writes a PDF whole or not at all. Refusal "paper.not_written" with the file and the way out.
[[nodiscard]] Result<Done> save_pdf(const report::Report& report, report::PaperSize size, const std::filesystem::path& file);
[[nodiscard]] Result<Done> save_pdf(const std::vector<report::Label>& labels, const report::LabelSheet& sheet, int used,
                                    const Stamp& made_at, const std::filesystem::path& file);
[[nodiscard]] std::string report_text(const report::Report& report);
[[nodiscard]] std::string report_json(const report::Report& report);

// One label a bath (make-up, made, throw by, what its finish never meets) or piece (design, metals, batch). Refusals: those
// of resolve().
[[nodiscard]] Result<std::vector<report::Label>> bath_labels(Studio& studio, const Learned& learned,
                                                             const std::vector<std::string>& numbers);
[[nodiscard]] Result<std::vector<report::Label>> piece_labels(Studio& studio, const std::vector<std::string>& numbers);

}  // namespace tonebath::app
