#include "app/stones.hpp"

#include "app/stone_notes.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/finish_kind.hpp"
#include "store/log.hpp"
#include "store/query.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>

namespace tonebath::app {

namespace {

constexpr double kDay_ms = 86400000.0;
constexpr double kEarly_days = 7.0;  // a look up to a week before counts for the date

// Columns of the published table that a finish of this kind looks at, and what they mean.
std::vector<std::pair<std::string, std::string>> columns_for(const FinishKind& kind) {
    std::vector<std::pair<std::string, std::string>> columns;
    const auto add = [&](std::string_view family, std::initializer_list<std::pair<std::string, std::string>> more) {
        if (in_family(kind, family)) {
            for (const auto& one : more) {
                if (std::find(columns.begin(), columns.end(), one) == columns.end()) {
                    columns.push_back(one);
                }
            }
        }
    };
    add("sulfide", {{"alkalis_sulfides", "alkalis and sulfides"}, {"heat", "heat"}});
    add("ammonia", {{"alkalis_sulfides", "alkalis and sulfides"}});
    add("acid", {{"acids", "acids"}});
    add("metal_salt", {{"acids", "acids"}});
    add("oxidiser", {{"acids", "acids"}});
    add("heat", {{"heat", "heat"}});
    add("solvent", {{"solvents", "solvents"}});
    return columns;
}

std::string trust_of(const std::string& source) {
    constexpr std::string_view kMemory = "from memory";
    if (source == kMemory) {
        return source;
    }
    return source.find(kMemory) != std::string::npos ? "trade page, part from memory" : "trade page or chart, read";
}

// The table's kinds that a kind of hers can mean: her word stands in the name or the family; a foil back is the foil
// rows, whatever it is called.
bool is_meant(const std::string& type, const std::string& family, std::string_view kind, Backing backing) {
    const bool foiled = folded(family).find("foiled") != std::string::npos;
    if (foil_backed(kind, backing)) {
        return foiled;
    }
    const std::string wanted = folded(kind);
    const bool named = folded(type).find(wanted) != std::string::npos || (wanted.find(' ') == std::string::npos && folded(family).find(wanted) != std::string::npos);
    return !wanted.empty() && named && !foiled;
}

void publish(StoneGate& gate, const StoneNote& note, const FinishKind& kind) {
    for (const auto& [column, words] : columns_for(kind)) {
        gate.published.push_back({.stone = note.kind, .column = words, .word = note.against.at(column), .note = note.backing_note,
                                  .source = note.source, .trust = trust_of(note.source)});
    }
    const auto warn = [&](const std::string& words) {
        if (std::find(gate.warnings.begin(), gate.warnings.end(), words) == gate.warnings.end()) {
            gate.warnings.push_back(words);
        }
    };
    if (note.porous) {
        warn(note.kind + ": porous, it takes up the bath and the rinse.");
    }
    if (in_family(kind, "sulfide") && note.against.at("alkalis_sulfides") == "avoid") {
        warn(note.kind + ": tender to alkalis and sulfides.");
    }
    if (folded(note.backing_note).find("glue") != std::string::npos) {
        warn(note.kind + ": may be glued; heat and solvents decide by the glue.");
    }
    if (folded(note.family).find("foiled") != std::string::npos) {
        warn("Foil back: no tumbling, no ultrasonic (common practice); keep edges and back dry or lacquered.");
    }
}

}  // namespace

Result<StoneGate> stone_gate(Studio& studio, std::span<const StoneRow> rows, std::string_view kind, Backing backing,
                             std::string_view finish) {
    const FinishKind* known = find_kind(studio.finish_kinds(), finish);
    if (known == nullptr) {
        return Refusal{.code = "finish.unknown", .field = "Finish", .value = std::string(finish),
                       .message = "there is no kind of finish with that name.",
                       .remedy = "Name one of the kinds, for example \"liver of sulfur, lump\".", .answers = {}};
    }
    const auto notes = read_stone_notes(studio.options().data / "stones.csv");
    if (!notes) {
        return notes.error();
    }
    StoneGate gate;
    for (StoneCell& cell : stone_grid(rows, {.kind = std::string(kind), .backing = backing == Backing::unknown ? std::nullopt : std::optional(backing)})) {
        const FinishKind* met = find_kind(studio.finish_kinds(), cell.finish);
        // Another form of the same chemistry is told as well: its name stands beside it.
        if (met != nullptr && met->families == known->families) {
            gate.own_words.push_back(fmt::format("{}, {}, {}: {}", met->name, band_words(cell.band),
                                                 cell.coats == 0 ? "no coats" : counted(static_cast<std::size_t>(cell.coats), "coat", "coats"),
                                                 cell.count.words()));
            gate.own.push_back(std::move(cell));
        }
    }
    for (const StoneNote& note : *notes) {
        if (is_meant(note.kind, note.family, kind, backing)) {
            publish(gate, note, *known);
        }
    }
    const bool own_whole = std::any_of(gate.own.begin(), gate.own.end(), [](const StoneCell& c) { return c.count.seen > 0 && c.count.harmed == 0; });
    const bool own_harm = std::any_of(gate.own.begin(), gate.own.end(), [](const StoneCell& c) { return c.count.harmed > 0; });
    const bool avoid = std::any_of(gate.published.begin(), gate.published.end(), [](const PublishedNote& n) { return n.word == "avoid"; });
    gate.conflict = (own_whole && avoid) || (own_harm && !gate.published.empty() && !avoid);
    if (own_harm) {
        gate.warnings.push_back(fmt::format("Your own log has {} harmed by it.", kind));
    }
    return gate;
}

std::vector<FollowUpDue> follow_ups_due(Studio& studio, std::span<const StoneRow> rows) {
    std::vector<int> days{30, 90, 365};
    if (const auto own = studio.log().setting("follow_up_days"); own && !own->empty()) {
        days.clear();
        for (const std::string& one : split(*own, ' ')) {
            int value = 0;
            const auto [end, trouble] = std::from_chars(one.data(), one.data() + one.size(), value);
            if (trouble == std::errc{} && end == one.data() + one.size() && value > 0) {
                days.push_back(value);
            }
        }
    }
    std::map<std::string, std::vector<std::int64_t>> looks;
    {
        store::Query query(studio.log(), "SELECT stone_id, at_utc_ms FROM follow_up");
        while (query.next()) {
            looks[query.text(0)].push_back(query.integer(1));
        }
    }
    const Stamp now = studio.now();
    std::vector<FollowUpDue> due;
    for (const StoneRow& row : rows) {
        if (row.met.empty() || row.harmed_days || row.piece.empty()) {
            continue;
        }
        Stamp first = row.met.front().first;
        for (const StoneExposure& met : row.met) {
            first = std::min(first, met.first);
        }
        // Only the latest date that has come: an older one that was missed cannot be made up for.
        std::optional<int> latest;
        for (const int one : days) {
            if (plus_seconds(first, one * 86400.0) <= now) {
                latest = std::max(latest.value_or(one), one);
            }
        }
        if (!latest) {
            continue;
        }
        const Stamp at = plus_seconds(first, *latest * 86400.0);
        const std::vector<std::int64_t>& seen = looks[row.id.text];
        const bool looked = std::any_of(seen.begin(), seen.end(), [&](std::int64_t look) {
            return static_cast<double>(look) >= static_cast<double>(at.utc_ms) - kEarly_days * kDay_ms;
        });
        if (!looked) {
            due.push_back({.stone = row.number, .piece = row.piece, .kind = row.kind, .days = *latest, .due = at});
        }
    }
    std::stable_sort(due.begin(), due.end(), [](const FollowUpDue& a, const FollowUpDue& b) { return a.due < b.due; });
    return due;
}

}  // namespace tonebath::app
