// What the tests of joining share: logs as files carried over, and what a log says as words.
#pragma once

#include "store/join.hpp"
#include "store/join_tables.hpp"
#include "store/test_log.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <map>
#include <set>

namespace tonebath::store {

namespace fs = std::filesystem;

[[nodiscard]] inline Stamp later(double seconds) { return plus_seconds(kMorning, seconds); }

// The log as a file beside it, as it would be carried over.
[[nodiscard]] inline fs::path carried(Log& log, const TemporaryFolder& folder, const std::string& name) {
    const fs::path file = folder / name;
    fs::remove(file);
    run(log, "VACUUM INTO ?1", {file.string()});
    return file;
}

[[nodiscard]] inline std::unique_ptr<OtherLog> other(const fs::path& file) {
    Result<std::unique_ptr<OtherLog>> opened = OtherLog::open(file);
    if (!opened) {
        FAIL(opened.error().text());
    }
    return std::move(opened).value();
}

inline JoinFindings joined_with(Log& ours, const fs::path& file, IdSource& ids, const JoinOptions& options = {}) {
    const auto theirs = other(file);
    Result<JoinFindings> found = join(ours, *theirs, options, later(90'000.0), "", ids);
    if (!found) {
        FAIL(found.error().text());
    }
    return std::move(found).value();
}

// What the log says, without the ids of words that both benches entered for themselves, row by row.
[[nodiscard]] inline std::set<std::string> facts(Log& log) {
    std::set<std::string> all;
    std::map<std::string, std::string> named;  // id -> what it is one by
    for (const JoinTable& table : join_tables(log)) {
        Query query(log, table.select());
        while (query.next()) {
            std::vector<Bound> row = row_of(query, table.columns.size());
            std::string words = table.name;
            for (std::size_t i = 0; i < row.size(); ++i) {
                if (const auto known = named.find(text_of(row[i])); known != named.end()) {
                    row[i] = known->second;
                }
            }
            std::string name = table.name;
            for (const std::size_t i : table.same_when) {
                name += "/" + text_of(row[i]);
            }
            const bool by_name = !table.same_when.empty();
            for (std::size_t i = 0; i < row.size(); ++i) {
                if (by_name && (i == 0 || table.columns[i].starts_with("made_"))) {
                    continue;
                }
                words += fmt::format("|{}=", table.columns[i]);
                if (const auto* whole = std::get_if<std::int64_t>(&row[i])) {
                    words += std::to_string(*whole);
                } else if (const auto* real = std::get_if<double>(&row[i])) {
                    words += fmt::format("{}", *real);
                } else {
                    words += text_of(row[i]);
                }
            }
            if (by_name) {
                named[query.text(0)] = name;
            }
            all.insert(words);
        }
    }
    return all;
}

[[nodiscard]] inline Metal metal_named(IdSource& ids, const std::string& name) {
    Metal metal;
    metal.id = ids.next<Metal>(kMorning);
    metal.name = name;
    metal.made_at = kMorning;
    return metal;
}

[[nodiscard]] inline Dip dip_of(IdSource& ids, const Bath& bath, const Piece& piece, const Stamp& at) {
    Dip dip;
    dip.id = ids.next<Dip>(at);
    dip.bath_id = bath.id;
    dip.piece_id = piece.id;
    dip.dropped_at = at;
    dip.out_at = plus_seconds(at, 40.0);
    dip.in_bath = Seconds::from_seconds(40.0);
    dip.made_at = *dip.out_at;
    return dip;
}

}  // namespace tonebath::store
