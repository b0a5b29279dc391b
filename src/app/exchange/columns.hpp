// The columns of every noun as they stand in files, from the nouns' own lists: what export, import and the schemas read.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

enum class CellKind { id, reference, text, word, number, whole, yes_no, moment };

struct ExchangeColumn {
    std::string_view name;       // as in the log and on the head line; a moment is one column, ISO 8601 with its offset
    CellKind kind = CellKind::text;
    bool optional = false;       // may be unknown: an empty cell, null
    bool large = false;          // whole: 64 bits instead of 32
    std::span<const std::string_view> words;  // of CellKind::word
    std::string_view refers_to;  // table of CellKind::reference
    std::string_view unit;       // of CellKind::number, and of whole numbers that have one: "°C", "the lot's own unit"
};

struct ExchangeNoun {
    std::string_view table;      // also the name of its file: "client_order"
    std::string_view word;       // "order"
    std::vector<ExchangeColumn> columns;
    // Columns as the log keeps them, in the same order: a moment is two.
    [[nodiscard]] std::string stored_names() const;
};

// Each noun after those that it refers to.
[[nodiscard]] const std::vector<ExchangeNoun>& exchange_nouns();
// True for what is never written into a file, a list or an answer: the pin of a person, even as it is kept.
[[nodiscard]] bool never_leaves(std::string_view table, std::string_view column);

}  // namespace tonebath::app
