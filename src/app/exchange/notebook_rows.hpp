// The rows of a notebook, read as its columns say. For .cpp files of this folder only.
#pragma once

#include "app/exchange/notebook.hpp"
#include "base/clock.hpp"

#include <functional>
#include <optional>

namespace tonebath::app {

struct NotebookRow {
    int line = 0;
    std::int64_t bytes = 0;  // read so far
    std::optional<Stamp> day;           // with the time of day where one is read
    std::string piece, strip, metal, bath, lot, tone, who;  // trimmed words; empty = a gap
    std::optional<double> amount;       // in the lot's own unit
    std::optional<Millilitres> water;
    std::optional<Celsius> temp;
    std::optional<Seconds> length;
    std::vector<std::string> notes;     // "temperature: warm", one for each cell that stays words
};

// Tells the reader of each cell what became of it.
enum class CellFate { read, words, blank };
struct NotebookReading {
    std::function<void(const NotebookView&)> head;  // once, before the first row
    std::function<void(std::size_t column, int line, const std::string& cell, CellFate fate)> cell;
    std::function<std::optional<Refusal>(const NotebookRow&)> row;
};
// Refusals: those of look_at_notebook, and whatever `row` refuses.
[[nodiscard]] Result<Done> read_notebook(Studio& studio, const NotebookAsk& ask, const NotebookReading& reading, const Watch& watch);

}  // namespace tonebath::app
