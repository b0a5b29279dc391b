#include "app/pairs.hpp"

#include "app/csv_file.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

Result<std::vector<IncompatiblePair>> read_pairs(const std::filesystem::path& file) {
    const auto rows = rows_under(file, "a,b,families_a,families_b,gives,level,source,trust");
    if (!rows) {
        return rows.error();
    }
    std::vector<IncompatiblePair> pairs;
    for (const CsvRecord& row : *rows) {
        const std::vector<std::string>& cells = row.cells;
        if (std::any_of(cells.begin(), cells.end(), [](const std::string& one) { return one.empty(); })) {
            return bad_row(file, row.line, "no cell may be empty.");
        }
        const auto level = from_word<CheckLevel>(cells[5]);
        if (!level) {
            return bad_row(file, row.line, fmt::format("no level is called \"{}\".", cells[5]));
        }
        pairs.push_back({.one = cells[0],
                         .other = cells[1],
                         .families = split(cells[2], ';'),
                         .other_families = split(cells[3], ';'),
                         .gives = cells[4],
                         .level = *level,
                         .source = cells[6],
                         .trust = cells[7]});
    }
    return pairs;
}

bool on_side(const FinishKind& kind, const std::vector<std::string>& side) {
    if (in_family(kind, "inert")) {
        return false;
    }
    return std::ranges::any_of(side, [&](const std::string& stands) {
        const std::vector<std::string> all = split(stands, '+');
        return (stands == "unknown" && kind.key == "unknown") ||
               std::ranges::all_of(all, [&](const std::string& one) { return one == "any" || in_family(kind, one); });
    });
}

std::vector<IncompatiblePair> pairs_between(const std::vector<IncompatiblePair>& pairs, const FinishKind& one,
                                            const FinishKind& other) {
    std::vector<IncompatiblePair> met;
    std::copy_if(pairs.begin(), pairs.end(), std::back_inserter(met), [&](const IncompatiblePair& pair) {
        return (on_side(one, pair.families) && on_side(other, pair.other_families)) ||
               (on_side(other, pair.families) && on_side(one, pair.other_families));
    });
    std::stable_sort(met.begin(), met.end(), [](const IncompatiblePair& a, const IncompatiblePair& b) {
        return static_cast<int>(a.level) < static_cast<int>(b.level);
    });
    return met;
}

std::string first_words() {
    return "First: leave both where they are, shut what is open if it stands at arm's length, and move away from it. "
           "If they met: out, door shut behind you, nobody goes back in. Smell is no guide.";
}

}  // namespace tonebath::app
