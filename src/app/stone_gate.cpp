#include "app/stones.hpp"

#include "app/facts.hpp"
#include "app/stone_notes.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/finish_kind.hpp"
#include "store/log.hpp"
#include "store/query.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <unordered_map>

namespace tonebath::app {

namespace {

constexpr double kDay_ms = 86400000.0;
constexpr int kMostDays = 3650;
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

void once(std::vector<std::string>& list, std::string words) {
    if (std::ranges::find(list, words) == list.end()) {
        list.push_back(std::move(words));
    }
}

// What is to be minded before a bath of this kind.
std::vector<std::string> tender_words(const StoneNote& note, const FinishKind& kind) {
    std::vector<std::string> words;
    if (note.porous && !in_family(kind, "inert")) {
        words.push_back(note.kind + ": porous, it takes up the bath and the rinse.");
    }
    if (in_family(kind, "sulfide") && note.against.at("alkalis_sulfides") == "avoid") {
        words.push_back(note.kind + ": tender to alkalis and sulfides.");
    }
    if (in_family(kind, "acid") && note.against.at("acids") == "avoid") {
        words.push_back(note.kind + ": tender to acids.");
    }
    if (folded(note.backing_note).find("glue") != std::string::npos) {
        words.push_back(note.kind + ": may be glued; heat and solvents decide by the glue.");
    }
    return words;
}

void publish(StoneGate& gate, const StoneNote& note, const FinishKind& kind) {
    for (const auto& [column, words] : columns_for(kind)) {
        gate.published.push_back({.stone = note.kind, .column = words, .word = note.against.at(column), .note = note.backing_note,
                                  .source = note.source, .trust = trust_of(note.source)});
    }
    for (std::string& words : tender_words(note, kind)) {
        once(gate.warnings, std::move(words));
    }
    if (folded(note.family).find("foiled") != std::string::npos) {
        once(gate.warnings, "Foil back: no tumbling, no ultrasonic (common practice); keep edges and back dry or lacquered.");
    }
}

}  // namespace

Result<StoneGate> stone_gate(Studio& studio, std::span<const StoneCell> cells, std::string_view kind, Backing backing,
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
    for (const StoneCell& cell : cells) {
        if (cell.kind != kind || (backing != Backing::unknown && cell.backing != backing)) {
            continue;
        }
        const FinishKind* met = find_kind(studio.finish_kinds(), cell.finish);
        // Another form of the same chemistry is told as well: its name stands beside it.
        if (met != nullptr && met->families == known->families) {
            gate.own_words.push_back(fmt::format("{}, {}, {}: {}", met->name, band_words(cell.band), coats_words(cell.coats), cell.count.words()));
            gate.own.push_back(cell);
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

std::vector<std::string> tender_stones(Studio& studio, const Id<Piece>& piece, std::string_view finish) {
    std::vector<std::string> words;
    const FinishKind* kind = find_kind(studio.finish_kinds(), finish);
    const std::vector<Stone> stones = kind == nullptr ? std::vector<Stone>() : stones_on(studio, piece, studio.now());
    if (stones.empty()) {
        return words;
    }
    const auto notes = read_stone_notes(studio.options().data / "stones.csv");
    for (const Stone& stone : stones) {
        const auto note = notes ? note_for(*notes, stone) : std::nullopt;
        for (std::string& one : note ? tender_words(*note, *kind) : std::vector<std::string>()) {
            once(words, std::move(one));
        }
    }
    return words;
}

std::optional<std::vector<int>> days_of(std::string_view typed) {
    std::vector<int> days;
    std::string text(typed);
    std::ranges::replace(text, ',', ' ');
    for (const std::string& one : split(text, ' ')) {
        if (one.empty()) {
            continue;
        }
        int value = 0;
        const auto [end, trouble] = std::from_chars(one.data(), one.data() + one.size(), value);
        if (trouble != std::errc{} || end != one.data() + one.size() || value < 1 || value > kMostDays) {
            return std::nullopt;
        }
        days.push_back(value);
    }
    std::ranges::sort(days);
    return days.empty() ? std::nullopt : std::optional(days);
}

std::vector<int> look_days(Studio& studio) {
    return days_of(studio.log().setting(kLookDays).value_or("")).value_or(std::vector<int>{30, 90, 365});
}

std::vector<FollowUpDue> follow_ups_due(Studio& studio, std::span<const StoneRow> rows) {
    const std::vector<int> days = look_days(studio);
    std::unordered_map<std::string, std::int64_t> last_looks;
    {
        store::Query query(studio.log(), "SELECT stone_id, max(at_utc_ms) FROM follow_up GROUP BY stone_id");
        while (query.next()) {
            last_looks[query.text(0)] = query.integer(1);
        }
    }
    const Stamp now = studio.now();
    std::vector<FollowUpDue> due;
    for (const StoneRow& row : rows) {
        if (row.met.empty() || row.harmed_days || row.piece.empty()) {
            continue;
        }
        const Stamp first = row.met.front().first;
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
        const auto look = last_looks.find(row.id.text);
        const bool looked = look != last_looks.end() && static_cast<double>(look->second) >= static_cast<double>(at.utc_ms) - kEarly_days * kDay_ms;
        if (!looked) {
            due.push_back({.stone = row.number, .piece = row.piece, .kind = row.kind, .days = *latest, .due = at});
        }
    }
    std::stable_sort(due.begin(), due.end(), [](const FollowUpDue& a, const FollowUpDue& b) { return a.due < b.due; });
    return due;
}

}  // namespace tonebath::app
