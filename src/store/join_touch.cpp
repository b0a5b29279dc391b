#include "store/join_touch.hpp"

#include "model/nouns.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cstdlib>

namespace tonebath::store {
namespace {

// Two hands press the same thing within this.
constexpr std::int64_t kSamePress_ms = 120'000;

// A moment that both logs hold otherwise, and neither got it from the other.
struct Differing {
    std::int64_t offset_ms = 0;
    std::string words;
};

bool own(Log& other, const Touch& touch) {
    return !touch.change_id.empty() && !moment_of_change(other, touch.change_id);
}

void differing_of(Log& ours, Log& theirs, const JoinTable& table, std::vector<Differing>& found) {
    Query all(theirs, table.select());
    while (all.next()) {
        const std::vector<Bound> their_row = row_of(all, table.columns.size());
        const std::string id = text_of(their_row.front());
        Query mine(ours, table.select() + " WHERE id = ?1", {id});
        if (!mine.next()) {
            continue;
        }
        const std::vector<Bound> our_row = row_of(mine, table.columns.size());
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            const auto* our_ms = std::get_if<std::int64_t>(&our_row[i]);
            const auto* their_ms = std::get_if<std::int64_t>(&their_row[i]);
            if (!table.clock[i] || our_ms == nullptr || their_ms == nullptr || *our_ms == *their_ms ||
                !own(theirs, Touches(ours, id).of(table.columns[i])) || !own(ours, Touches(theirs, id).of(table.columns[i]))) {
                continue;
            }
            std::string moment = table.columns[i].substr(0, table.columns[i].size() - std::string_view("_utc_ms").size());
            std::replace(moment.begin(), moment.end(), '_', ' ');
            found.push_back({*our_ms - *their_ms, fmt::format("{}{}, {}", noun_word(table.name), table.label ? " " + text_of(our_row[*table.label]) : "", moment)});
        }
    }
}

// A join before this one wrote the other's changes down with their moments put right.
std::vector<Differing> differing_changes(Log& ours, Log& theirs) {
    std::vector<Differing> found;
    Query query(theirs, "SELECT id, at_utc_ms, step FROM change");
    while (query.next()) {
        const auto mine = moment_of_change(ours, query.text(0));
        if (mine && *mine != query.integer(1)) {
            found.push_back({*mine - query.integer(1), query.text(2)});
        }
    }
    return found;
}

}  // namespace

bool carries_only(std::string_view step) {
    for (const std::string_view before : {"", "undo: ", "redo: ", "take back: "}) {
        if (step.starts_with(before) && step.substr(before.size()).starts_with(kJoinStep)) {
            return true;
        }
    }
    return false;
}

std::optional<std::int64_t> moment_of_change(Log& log, const std::string& change_id) {
    Query query(log, "SELECT at_utc_ms FROM change WHERE id = ?1", {change_id});
    return query.next() ? std::optional(query.integer(0)) : std::nullopt;
}

struct Touches::Row {
    Touch touch;
    std::string kind;
    std::string after_json;
};

std::vector<Touches::Row> Touches::rows_of(Log& log, const std::string& record_id) {
    Query query(log,
                "SELECT c.at_utc_ms, c.id, c.step, r.kind, r.after_json FROM change_row r JOIN change c ON c.seq = r.change_seq "
                "WHERE r.record_id = ?1 ORDER BY c.seq, r.id",
                {record_id});
    std::vector<Row> rows;
    while (query.next()) {
        if (!carries_only(query.text(2))) {
            rows.push_back({Touch{query.integer(0), query.text(1)}, query.text(3), query.text(4)});
        }
    }
    return rows;
}

void Touches::take(std::vector<Row> rows) {
    for (const Row& row : rows) {
        last_ = row.touch;
        taken_back_ = row.kind == "delete";
        if (row.kind != "update") {
            made_ = last_;
            columns_.clear();
            continue;
        }
        const nlohmann::json after = nlohmann::json::parse(row.after_json, nullptr, false);
        for (const auto& [column, value] : after.items()) {
            columns_[column] = last_;
        }
    }
}

Touches::Touches(Log& log, const std::string& record_id) { take(rows_of(log, record_id)); }

Touches::Touches(Log& theirs, const std::string& record_id, Log& ours, std::int64_t offset_ms) {
    std::vector<Row> rows = rows_of(theirs, record_id);
    for (Row& row : rows) {
        row.touch.at_ms = moment_of_change(ours, row.touch.change_id).value_or(row.touch.at_ms + offset_ms);
    }
    std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) { return a.touch < b.touch; });
    take(std::move(rows));
}

Touches Touches::in_time(Log& ours, const std::string& record_id) {
    std::vector<Row> rows = rows_of(ours, record_id);
    std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) { return a.touch < b.touch; });
    Touches touches;
    touches.take(std::move(rows));
    return touches;
}

const Touch& Touches::of(const std::string& column) const {
    const auto found = columns_.find(column);
    return found == columns_.end() ? made_ : found->second;
}

JoinClock find_clock(Log& ours, Log& theirs, const std::vector<JoinTable>& tables) {
    std::vector<Differing> all = differing_changes(ours, theirs);
    if (all.empty()) {
        for (const JoinTable& table : tables) {
            differing_of(ours, theirs, table, all);
        }
    }
    JoinClock clock;
    if (all.empty()) {
        return clock;
    }
    std::stable_sort(all.begin(), all.end(), [](const Differing& a, const Differing& b) { return a.offset_ms < b.offset_ms; });
    // The place where most of them lie close together.
    std::size_t begin = 0;
    for (std::size_t first = 0, end = 0; first < all.size(); ++first) {
        while (end < all.size() && all[end].offset_ms - all[first].offset_ms <= kSamePress_ms) {
            ++end;
        }
        if (end - first > clock.from) {
            clock.from = end - first;
            begin = first;
        }
    }
    clock.of = all.size();
    const Differing& middle = all[begin + clock.from / 2];
    clock.example = middle.words;
    if (2 * clock.from <= clock.of) {
        clock.known = JoinClock::Known::unclear;
        return clock;
    }
    clock.known = JoinClock::Known::found;
    clock.offset_ms = std::llabs(middle.offset_ms) <= kSamePress_ms ? 0 : middle.offset_ms;
    return clock;
}

}  // namespace tonebath::store
