#include "app/chemicals.hpp"

#include "app/csv_file.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/log.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>

namespace tonebath::app {

namespace {

constexpr std::string_view kSheetSetting = "sheet_months";
constexpr double kMonth_s = 30.44 * 86400.0;

std::optional<int> own_sheet_months(Studio& studio) {
    const std::string text = studio.log().setting(kSheetSetting).value_or("");
    int months = 0;
    const auto [end, trouble] = std::from_chars(text.data(), text.data() + text.size(), months);
    return trouble == std::errc{} && end == text.data() + text.size() && months >= 1 ? std::optional(months)
                                                                                     : std::nullopt;
}

std::string overdue_words(const Chemical& chemical, const Stamp& now, int months) {
    if (!chemical.read_at) {
        return "its sheet is not read";
    }
    if (!chemical.sheet_at) {
        return "its sheet carries no date here";
    }
    const double age = seconds_between(*chemical.sheet_at, now) / kMonth_s;
    return age > months ? fmt::format("its sheet is of {}, over {} months old", date_text(*chemical.sheet_at), months)
                        : std::string();
}

}  // namespace

Result<std::vector<SheetStatement>> read_sheet_statements(const std::filesystem::path& file) {
    const auto rows = rows_under(file, "code,meaning,source,trust");
    if (!rows) {
        return rows.error();
    }
    std::vector<SheetStatement> statements;
    for (const CsvRecord& row : *rows) {
        const std::vector<std::string>& cells = row.cells;
        if (std::ranges::any_of(cells, &std::string::empty)) {
            return bad_row(file, row.line, "no cell may be empty.");
        }
        if (std::ranges::find(statements, cells[0], &SheetStatement::code) != statements.end()) {
            return bad_row(file, row.line, fmt::format("{} stands here twice.", cells[0]));
        }
        statements.push_back({.code = cells[0], .meaning = cells[1], .source = cells[2], .trust = cells[3]});
    }
    return statements;
}

std::vector<std::string> statement_codes(std::string_view typed) {
    std::vector<std::string> codes;
    std::string one;
    const auto end = [&] {
        if (!one.empty() && std::ranges::find(codes, one) == codes.end()) {
            codes.push_back(one);
        }
        one.clear();
    };
    for (const char c : typed) {
        const bool letter = std::isalpha(static_cast<unsigned char>(c)) != 0 || static_cast<unsigned char>(c) >= 0x80;
        const bool digit = std::isdigit(static_cast<unsigned char>(c)) != 0;
        if (c == ' ' && (one == "EUH" || one == "H")) {
            continue;  // "EUH 031"
        }
        if (letter || digit || c == '-') {
            one += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
        } else {
            end();
        }
    }
    end();
    return codes;
}

int sheet_months(Studio& studio) {
    return own_sheet_months(studio).value_or(kSheetMonths);
}

void set_sheet_months(Studio& studio, int months) {
    studio.log().set_setting(kSheetSetting, std::to_string(months));
}

std::string ChemicalRow::state() const {
    if (chemical.on_bench_at) {
        return "out since " + date_time_text(*chemical.on_bench_at);
    }
    return chemical.place.empty() ? "place not known" : chemical.place + (chemical.locked ? ", locked" : "");
}

ChemicalRegister chemical_register(Studio& studio) {
    ChemicalRegister all{.sheet_months = sheet_months(studio),
                         .sheet_months_own = own_sheet_months(studio).has_value()};
    const auto known = read_sheet_statements(studio.options().data / "ghs_statements.csv");
    all.fault = known ? std::string() : known.error().text();
    const Stamp now = studio.now();
    for (Chemical& chemical : store::list<Chemical>(studio.log(), "ORDER BY name, id")) {
        if (chemical.gone_at) {
            ++all.gone;
            continue;
        }
        ChemicalRow row{.chemical = std::move(chemical), .counts_as = {}, .lot = {}, .statements = {}, .overdue = {}};
        row.counts_as = counts_as_words(studio, row.chemical);
        row.lot = row.chemical.lot_id ? name_of(studio, *row.chemical.lot_id) : std::string();
        row.overdue = overdue_words(row.chemical, now, all.sheet_months);
        for (const std::string& code : statement_codes(row.chemical.hazards)) {
            const auto found = known ? std::ranges::find(*known, code, &SheetStatement::code)
                                     : std::vector<SheetStatement>::const_iterator{};
            row.statements.push_back(known && found != known->end()
                                         ? *found
                                         : SheetStatement{.code = code, .meaning = {}, .source = {}, .trust = {}});
        }
        all.rows.push_back(std::move(row));
    }
    std::ranges::stable_sort(all.rows, [](const ChemicalRow& a, const ChemicalRow& b) {
        return natural_less(a.chemical.name, b.chemical.name);
    });
    return all;
}

std::string other_silver_words() {
    return "Other silver in the room takes colour from the air: put rings, stock and finished pieces away.";
}

}  // namespace tonebath::app
