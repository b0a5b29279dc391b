#include "app/stone_notes.hpp"

#include "app/csv_file.hpp"
#include "app/source_words.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace tonebath::app {

namespace {

constexpr std::array<std::string_view, 12> kColumns{"stone_type", "family", "mohs", "porous", "heat", "acids", "alkalis_sulfides", "solvents",
                                                    "ultrasonic", "tumbling", "backing_note", "source"};

bool has_word(const std::string& text, const std::string& word) {
    const std::string among = " " + text + " ";
    return among.find(" " + word + " ") != std::string::npos;
}

std::string plain_words(std::string_view text) {
    std::string plain = folded(text);
    std::replace_if(plain.begin(), plain.end(), [](char c) { return c == ',' || c == '(' || c == ')' || c == '-' || c == '/'; }, ' ');
    return plain;
}

}  // namespace

Result<std::vector<StoneNote>> read_stone_notes(const std::filesystem::path& file) {
    std::string head;
    for (const std::string_view column : kColumns) {
        head += head.empty() ? std::string(column) : "," + std::string(column);
    }
    const auto rows = rows_under(file, head);
    if (!rows) {
        return rows.error();
    }
    const auto sources = read_source_words(file.parent_path() / "sources.csv");
    if (!sources) {
        return sources.error();
    }
    std::vector<StoneNote> notes;
    for (const CsvRecord& record : *rows) {
        StoneNote note{.kind = record.cells[0], .family = record.cells[1], .porous = record.cells[3] == "yes", .against = {},
                       .backing_note = memory_in_words(record.cells[10]), .source = sources_in_words(*sources, record.cells[11])};
        for (std::size_t i = 4; i < 10; ++i) {
            const std::string& word = record.cells[i];
            if (word != "avoid" && word != "caution" && word != "unknown" && !word.starts_with("usually withstands")) {
                return bad_row(file, record.line, fmt::format("\"{}\" is no word for {}.", word, kColumns[i]));
            }
            note.against[std::string(kColumns[i])] = word;
        }
        notes.push_back(std::move(note));
    }
    return notes;
}

bool foil_backed(std::string_view kind, Backing backing) {
    const std::string words = plain_words(kind);
    return backing == Backing::foil || backing == Backing::vacuum_metal || has_word(words, "foil") || has_word(words, "foiled");
}

std::optional<StoneNote> note_for(const std::vector<StoneNote>& notes, const Stone& stone) {
    const auto starting = [&notes](std::string_view start) -> std::optional<StoneNote> {
        for (const StoneNote& note : notes) {
            if (note.kind.starts_with(start)) {
                return note;
            }
        }
        return std::nullopt;
    };
    if (foil_backed(stone.kind, stone.backing)) {
        return starting("lead-glass crystal, foil");
    }
    const std::string kind = plain_words(stone.kind);
    if (stone.backing == Backing::doublet) {
        return starting(has_word(kind, "opal") ? "opal doublet" : "glued-in");
    }
    // The kind whose own words all stand in what was typed, or the other way round; the one with most words wins.
    std::optional<StoneNote> best;
    std::size_t most = 0;
    for (const StoneNote& note : notes) {
        const std::vector<std::string> own = split(plain_words(note.kind), ' ');
        std::size_t shared = 0;
        for (const std::string& word : own) {
            shared += word.size() > 2 && has_word(kind, word) ? 1U : 0U;
        }
        const bool first_named = !own.empty() && has_word(kind, own.front());
        if (first_named && shared > most) {
            best = note;
            most = shared;
        }
    }
    return best;
}

}  // namespace tonebath::app
