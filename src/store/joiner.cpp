#include "store/joiner.hpp"

#include "base/text.hpp"
#include "model/nouns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace tonebath::store {
namespace {

constexpr std::int64_t kTellEvery = 256;  // rows

std::string insert_text(const JoinTable& table) {
    std::string places;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        places += fmt::format("{}?{}", i == 0 ? "" : ", ", i + 1);
    }
    return fmt::format("INSERT INTO \"{}\" (\"{}\") VALUES ({})", table.name, joined(table.columns, "\", \""), places);
}

}  // namespace

Joiner::Joiner(Log& ours, OtherLog& theirs, const JoinOptions& options, const JoinProgress& progress, Does does)
    : ours_(ours), theirs_(theirs.log()), options_(options), progress_(progress), writes_(does == Does::writes), tables_(join_tables(ours)) {
    found_.form = theirs.form();
    found_.our_mark = ours_.setting(kBenchMark).value_or("");
    found_.their_mark = options_.mark.empty() ? theirs_.setting(kBenchMark).value_or("") : options_.mark;
}

JoinFindings Joiner::go_through() {
    count_all();
    settle_clock();
    // In the order of nouns, so that what a record refers to is known when its own turn comes.
    for (const JoinTable& table : tables_) {
        records_of(table);
    }
    removals();
    changes();
    std::erase_if(found_.counts, [](const JoinCount& count) { return count.added + count.known + count.removed + count.left_out == 0; });
    return std::move(found_);
}

void Joiner::count_all() {
    for (const JoinTable& table : tables_) {
        Query query(theirs_, fmt::format("SELECT count(*) FROM \"{}\"", table.name));
        all_ += query.next() ? query.integer(0) : 0;
    }
    Query query(theirs_, "SELECT count(*) FROM change");
    all_ += query.next() ? query.integer(0) : 0;
}

void Joiner::tell() {
    if (++done_ % kTellEvery == 0 && progress_ && !progress_(done_, all_)) {
        throw GivenUp{};
    }
}

void Joiner::settle_clock() {
    found_.clock = options_.clock_offset_ms ? JoinClock{.known = JoinClock::Known::told, .offset_ms = *options_.clock_offset_ms}
                                            : find_clock(ours_, theirs_, tables_);
    if (writes_ && found_.clock.known == JoinClock::Known::unclear) {
        throw join_refused("join.clock_unclear", "",
                           fmt::format("{} moments that both benches logged do not agree on how far the clocks were apart.", found_.clock.of),
                           "Say how far the other clock was behind: 1 h, or 0 s.");
    }
}

bool Joiner::here(const JoinTable& table, const std::string& id) {
    Query query(ours_, fmt::format("SELECT 1 FROM \"{}\" WHERE id = ?1", table.name), {id});
    return query.next();
}

bool Joiner::there(const JoinTable& table, const std::string& id) {
    Query query(theirs_, fmt::format("SELECT 1 FROM \"{}\" WHERE id = ?1", table.name), {id});
    return query.next();
}

std::vector<Bound> Joiner::as_ours(const JoinTable& table, std::vector<Bound> row) const {
    for (std::size_t i = 0; i < row.size(); ++i) {
        if (auto* text = std::get_if<std::string>(&row[i])) {
            if (const auto one = same_.find(*text); one != same_.end()) {
                *text = one->second;
            } else if (table.columns[i] == "baths" && table.name == Disposal::kTable) {
                *text = bath_lines(*text);
            }
        } else if (auto* ms = std::get_if<std::int64_t>(&row[i]); ms != nullptr && table.clock[i]) {
            *ms += found_.clock.offset_ms;
        }
    }
    return row;
}

// A disposal names its baths by number, one a line.
std::string Joiner::bath_lines(const std::string& lines) const {
    std::vector<std::string> numbers = split(lines, '\n');
    for (std::string& number : numbers) {
        if (const auto renamed = renamed_baths_.find(number); renamed != renamed_baths_.end()) {
            number = renamed->second;
        }
    }
    return joined(numbers, "\n");
}

void Joiner::records_of(const JoinTable& table) {
    JoinCount& count = found_.counts.emplace_back(JoinCount{.table = table.name});
    Query all(theirs_, table.select() + " ORDER BY id");
    while (all.next()) {
        tell();
        one_record(table, row_of(all, table.columns.size()), count);
    }
}

void Joiner::one_record(const JoinTable& table, const std::vector<Bound>& raw, JoinCount& count) {
    const std::string id = text_of(raw.front());
    if (here(table, id)) {
        ++count.known;
        count.changed += compare(table, raw, id, id) ? 1 : 0;
        return;
    }
    std::vector<Bound> row = as_ours(table, raw);
    const std::optional<std::string> one = same_place(table, row);
    if (one && !there(table, *one)) {  // entered on both benches
        same_[id] = *one;
        needed_.insert(*one);
        if (table.name == Person::kTable) {
            found_.people.push_back(text_of(row[*table.label]));
        }
        ++count.known;
        count.changed += compare(table, raw, id, *one) ? 1 : 0;
    } else if (taken_back_here(id) && needed_.count(id) == 0) {
        dead_[id] = &table;
        ++count.left_out;
    } else if (one && (!table.label || table.name == OwnFigure::kTable)) {  // there can be one only, and a mark tells no second
        same_[id] = *one;
        needed_.insert(*one);
        ++count.left_out;
    } else {
        add(table, std::move(row));
        ++count.added;
    }
}

// The record of ours that stands in the same place, where a table has such.
std::optional<std::string> Joiner::same_place(const JoinTable& table, const std::vector<Bound>& row) {
    if (table.same_when.empty()) {
        return std::nullopt;
    }
    std::string when;
    std::vector<Bound> values;
    for (const std::size_t i : table.same_when) {
        values.push_back(row[i]);
        when += fmt::format("{}\"{}\" = ?{}", values.size() == 1 ? "" : " AND ", table.columns[i], values.size());
    }
    Query query(ours_, fmt::format("SELECT id FROM \"{}\" WHERE {}", table.name, when), values);
    return query.next() ? std::optional(query.text(0)) : std::nullopt;
}

bool Joiner::taken_back_here(const std::string& id) {
    const Touches ours = Touches::in_time(ours_, id);
    return ours.taken_back() && Touches(theirs_, id, ours_, found_.clock.offset_ms).last() <= ours.last();
}

void Joiner::add(const JoinTable& table, std::vector<Bound> row) {
    if (table.label) {
        give_number(table, row);
    }
    for (std::size_t i = 0; i < row.size(); ++i) {
        if (!table.refers_to[i].empty() && std::holds_alternative<std::string>(row[i])) {
            revive(text_of(row[i]));
        }
    }
    if (writes_) {
        run(ours_, insert_text(table), row);
    }
}

void Joiner::revive(const std::string& id) {
    needed_.insert(id);
    const auto dead = dead_.find(id);
    if (dead == dead_.end()) {
        return;
    }
    const JoinTable& table = *dead->second;
    dead_.erase(dead);
    std::vector<Bound> row;
    {
        Query query(theirs_, table.select() + " WHERE id = ?1", {id});
        if (!query.next()) {
            return;  // a file whose index tells of a row that is not there
        }
        row = as_ours(table, row_of(query, table.columns.size()));
    }
    for (JoinCount& count : found_.counts) {
        if (count.table == table.name) {
            --count.left_out;
            ++count.added;
        }
    }
    add(table, std::move(row));
}

}  // namespace tonebath::store
