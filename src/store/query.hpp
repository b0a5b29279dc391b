// One question to the log: a kept statement, its values, and the rows it gives. It lets go of the statement at its end,
// so that no row read holds the log's old state open.
#pragma once

#include "store/log.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace tonebath::store {

// A value on its way into a statement.
using Bound = std::variant<std::nullptr_t, std::int64_t, double, std::string>;
// NULL where there is none: compare with IS.
template <class Noun>
[[nodiscard]] Bound bound(const std::optional<Id<Noun>>& id) {
    return id ? Bound(id->text) : Bound(nullptr);
}

class Query {
public:
    // `sql` is static text; `values` take the places ?1, ?2 … Two queries of the same text must not be open at once.
    Query(Log& log, const std::string& sql, const std::vector<Bound>& values = {});
    ~Query();
    Query(const Query&) = delete;
    Query& operator=(const Query&) = delete;

    // Moves to the next row; false at the end. Throws StoreError.
    [[nodiscard]] bool next();
    // Columns of the row, from 0. A NULL reads as an empty text, 0 or 0.0: ask `unknown` first where it matters.
    [[nodiscard]] bool unknown(int column) const;
    [[nodiscard]] std::string text(int column) const;
    [[nodiscard]] std::int64_t integer(int column) const;
    [[nodiscard]] double real(int column) const;
    [[nodiscard]] std::optional<double> maybe_real(int column) const;
    // The Stamp in columns `column` (UTC) and `column` + 1 (offset).
    [[nodiscard]] Stamp stamp(int column) const;

    [[nodiscard]] SQLite::Statement& statement() { return statement_; }

private:
    Log& log_;
    SQLite::Statement& statement_;
};

// Runs a statement that gives no rows; returns how many records it touched. Throws StoreError.
int run(Log& log, const std::string& sql, const std::vector<Bound>& values = {});

}  // namespace tonebath::store
