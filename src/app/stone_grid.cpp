#include "app/stone_cells.hpp"
#include "app/stones.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <iterator>
#include <map>
#include <set>

namespace tonebath::app {

namespace {

constexpr double kHardlyChance = 0.01;  // ours: shared among all that were compared
constexpr double kStillSeen = 0.05;     // ours: what a suspect keeps where the other one is the same on both sides

int in_100(double share) {
    return static_cast<int>(std::lround(100.0 * share));
}

// "2 in 3": the nearest share with a small number below it.
std::string about(double share) {
    int best_n = 1, best_of = 1;
    for (int of = 2; of <= 5; ++of) {
        const int n = static_cast<int>(std::lround(share * of));
        if (n > 0 && std::abs(static_cast<double>(n) / of - share) < std::abs(static_cast<double>(best_n) / best_of - share) - 1e-9) {
            best_n = n;
            best_of = of;
        }
    }
    return fmt::format("{} in {}", best_n, best_of);
}

void add_to(StoneCount& count, bool seen, bool harmed) {
    count.seen += seen ? 1 : 0;
    count.harmed += harmed ? 1 : 0;
    count.not_seen += seen ? 0 : 1;
}
void add(StoneCount& count, const StoneRow& row) { add_to(count, row.seen(), row.harmed_days.has_value()); }

bool from_bottle(const StoneRow& row, std::string_view bottle) {
    return std::find(row.bottles.begin(), row.bottles.end(), bottle) != row.bottles.end();
}

science::Followed followed(const StoneRow& row) {
    return {.time = row.harmed_days ? *row.harmed_days : row.unharmed_days.value_or(0.0), .failed = row.harmed_days.has_value()};
}

// Two sets of stones, compared by what became of those that were seen.
struct Contrast {
    StoneCount one, other;
    std::vector<std::vector<science::Followed>> followed = std::vector<std::vector<science::Followed>>(2);  // those seen, of each
    double p = 1.0;
    std::optional<double> log_rank_p;
    [[nodiscard]] bool worse() const {
        return one.seen > 0 && other.seen > 0 && one.harmed * other.seen > other.harmed * one.seen;
    }
};
using Choice = std::function<bool(const StoneRow&)>;
Contrast contrast(std::span<const StoneRow* const> rows, const Choice& first) {
    Contrast result;
    for (const StoneRow* row : rows) {
        const bool one = first(*row);
        add(one ? result.one : result.other, *row);
        if (row->seen()) {
            result.followed[one ? 0 : 1].push_back(followed(*row));
        }
    }
    result.p = science::fisher_exact({.first_hits = result.one.harmed,
                                      .first_misses = result.one.seen - result.one.harmed,
                                      .second_hits = result.other.harmed,
                                      .second_misses = result.other.seen - result.other.harmed})
                   .two_sided;
    if (!result.followed[0].empty() && !result.followed[1].empty()) {
        const science::LogRank test = science::log_rank(result.followed);
        if (test.degrees > 0) {
            result.log_rank_p = test.p;
        }
    }
    return result;
}

std::string chance_words(double p) {
    return p < 0.001 ? "by chance: under 1 in 1000" : fmt::format("by chance: about {} in 1000", std::lround(1000.0 * p));
}

std::string two_ways(const Contrast& c, std::string_view one, std::string_view other) {
    return fmt::format("{}: {} of {} seen were harmed; {}: {} of {}; {}.", one, c.one.harmed, c.one.seen, other,
                       c.other.harmed, c.other.seen, chance_words(c.p));
}

BottleFinding finding_of(const Contrast& c, std::string one, std::string other, std::string head, std::string cause) {
    return {.head = std::move(head),
            .words = two_ways(c, one, other),
            .causes = {std::move(cause)},
            .p = c.p,
            .log_rank_p = c.log_rank_p,
            .compared = {{.name = std::move(one), .count = c.one, .curve = science::kaplan_meier(c.followed[0])},
                         {.name = std::move(other), .count = c.other, .curve = science::kaplan_meier(c.followed[1])}}};
}

std::vector<std::string> numbers(std::span<const StoneRow* const> rows, const Choice& choice) {
    std::vector<std::string> found;
    for (const StoneRow* row : rows) {
        if (choice(*row)) {
            found.push_back(row->number);
        }
    }
    return found;
}

std::vector<std::string> by_band(std::span<const StoneRow* const> rows, const Choice& choice) {
    std::map<int, StoneCount> bands;
    for (const StoneRow* row : rows) {
        if (choice(*row)) {
            add(bands[band_of(row->met.empty() ? nullptr : &row->met.front())], *row);
        }
    }
    std::vector<std::string> lines;
    for (const auto& [band, count] : bands) {
        if (count.seen > 0) {
            lines.push_back(fmt::format("{}: {} of {}", band_words(band), count.harmed, count.seen));
        }
    }
    return lines;
}

// Whether `first` were harmed more often where `same` holds, or where it does not: what the one suspect does with the other
// alike on both sides.
bool still_seen(std::span<const StoneRow* const> rows, const Choice& first, const Choice& same) {
    return std::ranges::any_of(std::array{true, false}, [&](bool side) {
        std::vector<const StoneRow*> alike;
        std::ranges::copy_if(rows, std::back_inserter(alike), [&](const StoneRow* row) { return same(*row) == side; });
        const Contrast c = contrast(alike, first);
        return c.worse() && c.p < kStillSeen;
    });
}

// A bottle against the others at the same number of coats; the damp evenings likewise. Where both mark the very same
// stones, or one of them leaves nothing to compare inside the other, they cannot be told apart. Where they can, each must
// still be seen with the other alike on both sides.
void find_causes(BottleStudy& study, std::span<const StoneRow* const> coated, int coats) {
    std::set<std::string> bottles;
    for (const StoneRow* row : coated) {
        bottles.insert(row->bottles.begin(), row->bottles.end());
    }
    const Choice is_damp = [](const StoneRow& row) { return row.damp(); };
    const double limit = kHardlyChance / static_cast<double>(bottles.size() + 1);
    const Contrast damp = contrast(coated, is_damp);
    const bool damp_found = damp.worse() && damp.p < limit;
    bool damp_told = false;
    std::set<std::string> bottles_told;
    for (const std::string& bottle : bottles) {
        const Choice is_bottle = [&bottle](const StoneRow& row) { return from_bottle(row, bottle); };
        const Contrast one = contrast(coated, is_bottle);
        if (!one.worse() || one.p >= limit) {
            continue;
        }
        // Apart only where dry stones of this bottle and damp stones of others were both seen.
        const bool dry_of_it = std::any_of(coated.begin(), coated.end(), [&](const StoneRow* row) { return row->seen() && is_bottle(*row) && !row->damp(); });
        const bool damp_of_others = std::any_of(coated.begin(), coated.end(), [&](const StoneRow* row) { return row->seen() && !is_bottle(*row) && row->damp(); });
        const bool together = damp_found && !dry_of_it && !damp_of_others;
        if (damp_found && !together && !still_seen(coated, is_bottle, is_damp)) {
            continue;
        }
        bottles_told.insert(bottle);
        BottleFinding finding = finding_of(one, bottle, fmt::format("other bottles with {}", counted(static_cast<std::size_t>(coats), "coat", "coats")),
                                           fmt::format("Stones with {} were harmed more often.", bottle), "bottle " + bottle);
        finding.stones = numbers(coated, is_bottle);
        if (together) {
            finding.causes.emplace_back("damp air");
            finding.separable = false;
            finding.head = fmt::format("{} and the damp evening fell together: this log cannot part them.", bottle);
            damp_told = true;
        }
        study.findings.push_back(std::move(finding));
    }
    const Choice of_told = [&bottles_told](const StoneRow& row) { return std::ranges::any_of(row.bottles, [&](const std::string& one) { return bottles_told.contains(one); }); };
    if (damp_found && !damp_told && (bottles_told.empty() || still_seen(coated, is_damp, of_told))) {
        study.findings.push_back(finding_of(damp, "damp evenings", "others", "Stones coated on damp evenings were harmed more often.", "damp air"));
        study.findings.back().stones = numbers(coated, is_damp);
    }
}

}  // namespace

std::string StoneCount::range_words() const {
    if (seen == 0) {
        return "untested";
    }
    const science::ShareInterval limits = bar();
    if (harmed > 0) {
        return fmt::format("between {} and {} in 100", in_100(limits.lower), in_100(limits.upper));
    }
    return limits.upper > 0.5 ? fmt::format("too few to tell: up to about {}", about(limits.upper)) : fmt::format("at most about {} in 100", in_100(limits.upper));
}

std::string StoneCount::exact_words() const {
    const science::ShareInterval exact = science::exact_interval(harmed, seen);
    return seen == 0 ? std::string() : fmt::format("{} to {} in 100 (exact)", in_100(exact.lower), in_100(exact.upper));
}

std::string StoneCount::words() const {
    if (seen == 0) {
        return range_words();
    }
    const bool clean = harmed == 0 && bar().upper <= 0.5;
    return fmt::format("{} of {} {}; {}", clean ? seen : harmed, seen, clean ? "unharmed" : "harmed", range_words());
}

std::string StoneCount::refusal_words() const {
    std::vector<std::string> parts;
    for (const double limit : {0.10, 0.05}) {
        const auto more = science::clean_results_needed(harmed, seen, limit);
        const std::string mark = fmt::format("\"under {} in 100\"", in_100(limit));
        parts.push_back(!more        ? mark + " is out of reach"
                        : *more == 0 ? mark + " is shown"
                                     : fmt::format("{} more clean results for {}", *more, mark));
    }
    return joined(parts, ", ") + " (19 chances in 20, one-sided).";
}

std::vector<std::string> BottleFinding::figures() const {
    std::vector<std::string> lines;
    for (const ComparedStones& one : compared) {
        const science::ShareInterval bar = one.count.bar();
        lines.push_back(fmt::format("{}: {} of {} seen were harmed, {} not seen since; {} to {} in 100 (Wilson), {}; two-sided, 95 in 100.", one.name, one.count.harmed, one.count.seen,
                                    one.count.not_seen, in_100(bar.lower), in_100(bar.upper), one.count.exact_words()));
    }
    lines.push_back(fmt::format("Fisher's exact test, two-sided: p = {:.2g}.", p));
    if (log_rank_p) {
        lines.push_back(fmt::format("Days to damage, log-rank: p = {:.2g} (an approximation, rough where few were harmed).", *log_rank_p));
    }
    for (const double days : {30.0, 90.0, 365.0}) {
        std::vector<std::string> shares;
        for (const ComparedStones& one : compared) {
            const auto share = one.curve.at(days);
            const auto next = std::ranges::upper_bound(one.curve.steps, days, {}, &science::SurvivalStep::time);
            if (!share || next == one.curve.steps.begin()) {
                continue;
            }
            const auto& limits = std::prev(next)->limits;
            shares.push_back(fmt::format("{} {} in 100{}", one.name, in_100(*share), limits ? fmt::format(" ({} to {})", in_100(limits->lower), in_100(limits->upper)) : ""));
        }
        if (!shares.empty()) {
            lines.push_back(fmt::format("Unharmed after {:.0f} days (Kaplan and Meier): {}.", days, joined(shares, "; ")));
        }
    }
    return lines;
}

bool fits(const StoneFilter& filter, const StoneRow& row) {
    return (filter.kind.empty() || row.kind == filter.kind) && (!filter.backing || row.backing == *filter.backing) &&
           (!filter.coats || row.coats == *filter.coats) && (filter.bottle.empty() || from_bottle(row, filter.bottle));
}

void CellCounter::add(const Of& stone, std::string_view finish, int band) {
    if (only_.empty() || finish == only_) {
        add_to(cells_[{finish, stone.kind, stone.backing, stone.coats, band}], stone.seen, stone.harmed);
    }
}

std::vector<StoneCell> CellCounter::cells() const {
    std::vector<StoneCell> grid;
    for (const auto& [key, count] : cells_) {
        grid.push_back({.finish = std::string(std::get<0>(key)),
                        .kind = std::string(std::get<1>(key)),
                        .backing = std::get<2>(key),
                        .coats = std::get<3>(key),
                        .band = std::get<4>(key),
                        .count = count});
    }
    return grid;
}

std::vector<StoneCell> stone_grid(std::span<const StoneRow> rows, const StoneFilter& filter) {
    CellCounter counter(filter.finish);
    for (const StoneRow& row : rows) {
        if (!fits(filter, row)) {
            continue;
        }
        const CellCounter::Of of{.kind = row.kind, .backing = row.backing, .coats = row.coats, .seen = row.seen(), .harmed = row.harmed_days.has_value()};
        for (const StoneExposure& met : row.met) {
            counter.add(of, met.finish, band_of(&met));
        }
        if (row.met.empty()) {
            counter.add(of, {}, band_of(nullptr));
        }
    }
    return counter.cells();
}

BottleStudy bottle_study(std::span<const StoneRow> rows, Backing backing) {
    BottleStudy study;
    std::map<int, std::vector<const StoneRow*>> by_coats;
    std::map<std::pair<int, std::string>, std::vector<const StoneRow*>> groups;
    for (const StoneRow& row : rows) {
        if (row.backing == backing && !row.met.empty()) {
            by_coats[row.coats].push_back(&row);
            groups[{row.coats, joined(row.bottles, ", ")}].push_back(&row);
        }
    }
    const Choice all = [](const StoneRow&) { return true; };
    for (const auto& [key, members] : groups) {
        BottleGroup group{.coats = key.first, .bottle = key.second, .by_band = by_band(members, all)};
        for (const StoneRow* row : members) {
            add(group.count, *row);
        }
        study.groups.push_back(std::move(group));
    }
    std::set<std::string> suspect;
    for (const auto& [coats, members] : by_coats) {
        if (coats > 0) {
            find_causes(study, members, coats);
        }
    }
    for (const BottleFinding& finding : study.findings) {
        suspect.insert(finding.stones.begin(), finding.stones.end());
    }
    // Bare against coated, without the stones that a bottle or an evening already explains.
    std::vector<const StoneRow*> compared;
    for (const auto& [coats, members] : by_coats) {
        std::copy_if(members.begin(), members.end(), std::back_inserter(compared),
                     [&](const StoneRow* row) { return !suspect.contains(row->number); });
    }
    const Choice is_bare = [](const StoneRow& row) { return row.coats == 0; };
    if (const Contrast bare = contrast(compared, is_bare); bare.worse() && bare.p < kHardlyChance) {
        study.bare = finding_of(bare, "no coats", "coated", "Bare stones were harmed more often than coated ones.", "no coats");
        study.bare->stones = numbers(compared, is_bare);
    }
    return study;
}

std::vector<DamageZone> damage_map(std::span<const StoneRow> rows) {
    std::vector<DamageZone> zones;
    for (const Zone zone : {Zone::point, Zone::side, Zone::edge, Zone::face, Zone::unknown}) {
        zones.push_back({.zone = zone});
    }
    for (const StoneRow& row : rows) {
        if (!row.harmed_days) {
            continue;
        }
        const auto zone = std::find_if(zones.begin(), zones.end(), [&](const DamageZone& one) { return one.zone == row.zone; });
        ++(row.size_mm.value_or(0.0) > 8.0 ? zone->large : zone->small);
    }
    return zones;
}

StoneTrace trace_of(std::span<const StoneRow> rows, std::span<const std::string> stones) {
    const std::set<std::string_view> wanted(stones.begin(), stones.end());
    StoneTrace trace;
    std::set<std::string_view> told_pieces, told_orders;
    const auto once = [](std::vector<std::string>& list, std::set<std::string_view>& told, const std::string& number) {
        if (!number.empty() && told.insert(number).second) {
            list.push_back(number);
        }
    };
    for (const StoneRow& row : rows) {
        if (wanted.contains(row.number)) {
            trace.stones.push_back(row.number);
            once(trace.pieces, told_pieces, row.piece);
            once(trace.orders, told_orders, row.order);
        }
    }
    return trace;
}

StoneTrace stones_of(std::span<const StoneRow> rows, std::string_view bottle_or_lot) {
    const std::string wanted = folded(bottle_or_lot);
    std::vector<std::string> stones;
    for (const StoneRow& row : rows) {
        const bool bottle = std::any_of(row.bottles.begin(), row.bottles.end(), [&](const std::string& one) { return folded(one) == wanted; });
        if (bottle || folded(row.source_lot) == wanted || (!row.coating.empty() && folded("evening " + row.coating) == wanted)) {
            stones.push_back(row.number);
        }
    }
    return trace_of(rows, stones);
}

}  // namespace tonebath::app
