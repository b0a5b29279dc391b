// A report written out. The same report gives the same bytes.
#pragma once

#include "report/label.hpp"
#include "report/report.hpp"

#include <string>
#include <vector>

namespace tonebath::report {

// PDF with its text in it (any script the installed fonts have), paginated, dated. Never throws for what stands in it.
[[nodiscard]] std::string pdf_of(const Report& report, PaperSize size);
[[nodiscard]] int pages_of(const Report& report, PaperSize size);
// One page after another of the sheet; the first `used` places are left empty. At least one label.
[[nodiscard]] std::string pdf_of(const std::vector<Label>& labels, const LabelSheet& sheet, int used, const Stamp& made_at);
// For a screen of 100 columns or a pipe.
[[nodiscard]] std::string text_of(const Report& report);
// {"kind", "title", "line", "made", "blocks": [{"is": "table", ...}]}; two blanks deep, ends in a line feed.
[[nodiscard]] std::string json_of(const Report& report);

}  // namespace tonebath::report
