#include "app/gas_effects.hpp"

#include "app/csv_file.hpp"
#include "base/quantity_text.hpp"
#include "model/rules/rule.hpp"

#include <fmt/format.h>

namespace tonebath::app {

std::string GasEffect::ppm_words() const {
    const std::string from = rules::figure(low_ppm);
    return high_ppm ? fmt::format("{} to {} ppm", from, rules::figure(*high_ppm)) : from + " ppm";
}

Result<std::vector<GasEffect>> read_gas_effects(const std::filesystem::path& file) {
    const auto rows = rows_under(file, "ppm_low,ppm_high,effect,drawn,bodies,source,trust");
    if (!rows) {
        return rows.error();
    }
    std::vector<GasEffect> effects;
    for (const CsvRecord& row : *rows) {
        const auto& cells = row.cells;
        const Result<double> low = parse_number("", cells[0]);
        const Result<double> high = cells[1].empty() ? Result<double>(0.0) : parse_number("", cells[1]);
        if (!low || !high || *low <= 0.0 || (!cells[1].empty() && *high <= *low)) {
            return bad_row(file, row.line, "ppm are numbers above 0, the second above the first.");
        }
        if (cells[2].empty() || cells[4].empty() || cells[5].empty() || cells[6].empty()) {
            return bad_row(file, row.line, "effect, bodies, source and trust must be there.");
        }
        effects.push_back({.low_ppm = *low,
                           .high_ppm = cells[1].empty() ? std::nullopt : std::optional<double>(*high),
                           .effect = cells[2],
                           .drawn = cells[3],
                           .bodies = cells[4],
                           .source = cells[5],
                           .trust = cells[6]});
    }
    return effects;
}

}  // namespace tonebath::app
