// An old notebook, typed into a table by someone: any CSV, each column told what it holds, looked at first and then brought in
// as past work. What cannot be read as what its column holds ("warm") stays words in the note; an empty cell stays a gap.
// Nothing is ever made into a number that was none.
#pragma once

#include "app/exchange/watch.hpp"
#include "app/form.hpp"
#include "base/quantity_text.hpp"
#include "base/result.hpp"
#include "base/text.hpp"

#include <array>
#include <cstdint>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// What a column holds. Each but `note` is of one column at most; a column that is told nothing goes into the note.
enum class Meaning { day, time, piece, strip, metal, bath, lot, amount, water, temperature, length, tone, who, note };

struct NotebookAsk {
    std::filesystem::path file;
    std::map<Meaning, std::string> columns;  // by the name on the head line; what is not named is guessed from it
    UnitChoice units;                        // of bare temperatures and volumes
    bool minutes = false;                    // a bare length is minutes, else seconds
    bool month_first = false;                // 3/12/2019 is 12 March
    bool leave_undated = false;              // rows without a day are left out, else nothing is brought in
};

struct NotebookColumn {
    std::string name;
    Meaning meaning = Meaning::note;
    bool guessed = true;
    std::vector<std::string> samples;  // the first three that are not empty
    std::int64_t read = 0;             // cells understood as what they are to hold
    std::int64_t words = 0;            // not understood: they go into the note
    std::int64_t blank = 0;
    std::string first_word;            // the first of them, and its line
    int first_line = 0;
};
struct NotebookView {
    char separator = ',';
    std::vector<NotebookColumn> columns;
    std::int64_t rows = 0;
    std::int64_t undated = 0;
    int first_undated = 0;  // line
};

// Reads the whole file, in flat memory, and writes nothing. Refusals: "notebook.unreadable", "notebook.empty",
// "notebook.no_column" (a name that is not on the head line), "notebook.bad_row" (line), "notebook.stopped".
[[nodiscard]] Result<NotebookView> look_at_notebook(Studio& studio, const NotebookAsk& ask, const Watch& watch = {});
// In sentences: each column, what it is taken for, what of it is read and what stays words.
[[nodiscard]] std::vector<std::string> notebook_words(const NotebookView& view);

// Each row becomes a past dip of its piece or strip; rows of one day and lot, or of one bath number, share a past bath; a tone's
// word becomes a judgement. Pieces and strips that the log knows are used; a bath number that it knows is kept apart, marked
// ", notebook". One step: one undo takes all of it back. Refusals: those above, "notebook.no_day", "log.read_only",
// "log.trouble".
[[nodiscard]] Result<Outcome> bring_notebook(Studio& studio, const NotebookAsk& ask, const Watch& watch = {});

}  // namespace tonebath::app

namespace tonebath {

template <>
struct EnumWords<app::Meaning> {
    static constexpr std::array<std::string_view, 14> words{"day",    "time",  "piece",       "strip",  "metal", "bath", "lot",
                                                            "amount", "water", "temperature", "length", "tone",  "who",  "note"};
};

}  // namespace tonebath
