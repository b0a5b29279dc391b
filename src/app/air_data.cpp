// The tables of the air: limits and solvents, and which limit a figure is held against.
#include "app/air.hpp"
#include "app/csv_file.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/nouns.hpp"
#include "model/rules/rule.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>

namespace tonebath::app {

namespace {

std::optional<double> number_of(const std::string& cell) {
    const Result<double> number = parse_number("", cell);
    return number ? std::optional<double>(*number) : std::nullopt;
}

constexpr std::string_view kTypedIn = "typed in here";

std::optional<double> minutes_of(LimitKind kind) {
    switch (kind) {
        case LimitKind::minutes_15:
            return 15.0;
        case LimitKind::hours_8:
            return 480.0;
        case LimitKind::ceiling:
            break;
    }
    return std::nullopt;
}

}  // namespace

std::string AirLimit::words() const {
    std::string when = kind;
    if (kind == "ceiling") {
        when += average_min ? fmt::format(" over {} min", rules::figure(*average_min)) : " at any time";
    } else if (kind == "peak" || kind == "emergency guideline") {
        when += fmt::format(", {} min", rules::figure(average_min.value_or(0.0)));
    } else if (kind == "8 h" || kind == "10 h" || kind == "15 min") {
        when = "over " + kind;
    }
    return fmt::format("{}, {} {}, {}", when, body, year == "undated" ? "(undated)" : year, trust);
}

Result<std::vector<AirLimit>> read_air_limits(const std::filesystem::path& file) {
    const auto rows = rows_under(file, "substance,body,kind,ppm,average_min,year,source,trust,use");
    if (!rows) {
        return rows.error();
    }
    constexpr std::array<std::string_view, 4> kTrusts{"read", "second-hand", "memory", "doubtful"};
    std::vector<AirLimit> limits;
    for (const CsvRecord& row : *rows) {
        const auto& cells = row.cells;
        const auto ppm = number_of(cells[3]);
        const auto average = cells[4].empty() ? std::nullopt : number_of(cells[4]);
        if (!ppm || *ppm <= 0.0 || (!cells[4].empty() && !average)) {
            return bad_row(file, row.line, "ppm and minutes are numbers above 0.");
        }
        if (std::find(kTrusts.begin(), kTrusts.end(), cells[7]) == kTrusts.end()) {
            return bad_row(file, row.line, fmt::format("no trust is called \"{}\".", cells[7]));
        }
        if (cells[8] != "limit" && cells[8] != "context") {
            return bad_row(file, row.line, "use is limit or context.");
        }
        if (cells[0].empty() || cells[1].empty() || cells[5].empty() || cells[6].empty()) {
            return bad_row(file, row.line, "substance, body, year and source must be there.");
        }
        limits.push_back({.substance = cells[0],
                          .body = cells[1],
                          .kind = cells[2],
                          .ppm = *ppm,
                          .average_min = average,
                          .year = cells[5],
                          .source = cells[6],
                          .trust = cells[7],
                          .context = cells[8] == "context"});
    }
    return limits;
}

Result<std::vector<AirLimit>> air_limits(Studio& studio) {
    Result<std::vector<AirLimit>> limits = read_air_limits(studio.options().data / "air_limits.csv");
    if (!limits) {
        return limits;
    }
    std::vector<AirLimit> all = std::move(limits).value();
    for (const OwnLimit& own : store::list<OwnLimit>(studio.log(), "WHERE ended_utc_ms IS NULL ORDER BY made_utc_ms, id")) {
        all.push_back({.substance = own.substance,
                       .body = own.body,
                       .kind = std::string(word_of(own.kind)),
                       .ppm = own.ppm,
                       .average_min = minutes_of(own.kind),
                       .year = own.year.empty() ? "undated" : own.year,
                       .source = own.source.empty() ? own.number : own.source,
                       .trust = std::string(kTypedIn)});
    }
    return all;
}

Result<std::vector<Solvent>> read_solvents(const std::filesystem::path& file) {
    const auto rows = rows_under(file, "solvent,molar_g_per_mol,density_g_per_ml,lel_percent,flash_c");
    if (!rows) {
        return rows.error();
    }
    std::vector<Solvent> solvents;
    for (const CsvRecord& row : *rows) {
        std::array<double, 4> figures{};
        for (std::size_t i = 0; i < figures.size(); ++i) {
            const auto figure = number_of(row.cells[i + 1]);
            if (!figure || (i < 3 && *figure <= 0.0)) {
                return bad_row(file, row.line, fmt::format("\"{}\" is not a figure.", row.cells[i + 1]));
            }
            figures[i] = *figure;
        }
        solvents.push_back({.name = row.cells[0],
                            .molar_g_per_mol = figures[0],
                            .density_g_per_ml = figures[1],
                            .lel_percent = figures[2],
                            .flash_c = figures[3]});
    }
    return solvents;
}

const AirLimit* limit_for(const std::vector<AirLimit>& limits, std::string_view substance, AirCase what) {
    const AirLimit* lowest = nullptr;
    for (const AirLimit& one : limits) {
        const bool is_short = !one.average_min || *one.average_min <= 15.0;
        const bool trusted = one.trust == "read" || one.trust == "second-hand" || one.trust == kTypedIn;
        if (one.substance != substance || one.context || !trusted || is_short != (what == AirCase::sudden)) {
            continue;
        }
        const bool better = lowest == nullptr || one.ppm < lowest->ppm ||
                            (one.ppm == lowest->ppm && one.trust == "read" && lowest->trust != "read");
        lowest = better ? &one : lowest;
    }
    return lowest;
}

}  // namespace tonebath::app
