// The register: what is in the studio, what its own sheets say, and which sheets are overdue.
#pragma once

#include "app/bench_list.hpp"
#include "base/result.hpp"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Studio;

// One row of data/ghs_statements.csv: a statement of a safety sheet, own words.
struct SheetStatement {
    std::string code, meaning, source, trust;
};
// Strict: a fault is refused with file and line.
[[nodiscard]] Result<std::vector<SheetStatement>> read_sheet_statements(const std::filesystem::path& file);
// "h314; EUH 031 H302+H312" as {"H314", "EUH031", "H302", "H312"}; words that are no code stay as they are.
[[nodiscard]] std::vector<std::string> statement_codes(std::string_view typed);

// A sheet is overdue when it was not read here, has no date, or its date is longer ago than the studio's own interval.
inline constexpr int kSheetMonths = 36;  // ours, where the studio sets none: no body's figure was found
[[nodiscard]] int sheet_months(Studio& studio);
void set_sheet_months(Studio& studio, int months);  // 1 to 120; a setting of the log, outside any Change

struct ChemicalRow {
    Chemical chemical;
    std::string counts_as;                    // "acid pickle"; "acid: its sheet is not read"
    std::string lot;                          // number; empty = none
    std::vector<SheetStatement> statements;   // of its sheet; a code that is not known here has no meaning
    std::string overdue;                      // why its sheet is overdue; empty = it is not
    [[nodiscard]] std::string state() const;  // "out since 09:41", "metal cupboard, locked", "place not known"
};
struct ChemicalRegister {
    std::vector<ChemicalRow> rows;  // those in the studio, by name
    std::size_t gone = 0;
    int sheet_months = kSheetMonths;
    bool sheet_months_own = false;  // the studio set it
    std::string fault;              // why statements have no meanings
};
[[nodiscard]] ChemicalRegister chemical_register(Studio& studio);

// E12: what is said where a sulfide bath is made up or begun: other silver in the room takes colour from the air.
[[nodiscard]] std::string other_silver_words();

}  // namespace tonebath::app
