#include "app/exchange/notebook.hpp"

#include "app/exchange/notebook_rows.hpp"
#include "app/log_trouble.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "model/nouns.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>
#include <utility>

namespace tonebath::app {

namespace {

constexpr std::size_t kSamples = 3;
constexpr std::size_t kLongestNote = 2000;  // bytes

Refusal no_day(int line) {
    return Refusal{.code = "notebook.no_day",
                   .field = fmt::format("line {}", line),
                   .value = {},
                   .message = "no day can be read there, and a dip without its day cannot be placed.",
                   .remedy = "Write the day into the file (2019-03-12), say whether months stand first, or leave such rows out.",
                   .answers = {}};
}

// Writes the rows as records, within an open change. What the log knows is looked up once and remembered.
class NotebookWriter {
public:
    NotebookWriter(Studio& studio, const NotebookAsk& ask) : studio_(studio), log_(studio.log()), ask_(ask), now_(studio.now()) {
        for (const Lot& lot : store::list<Lot>(log_)) {
            lots_.emplace(folded(lot.number), lot);
        }
        for (const Metal& metal : store::list<Metal>(log_)) {
            metals_.emplace(folded(metal.name), metal.id);
        }
        for (const Person& person : store::list<Person>(log_)) {
            people_.emplace(folded(person.initials), person.id);
        }
    }

    std::int64_t dips = 0, left_out = 0, words = 0;

    std::optional<Refusal> write(NotebookRow row) {
        if (!row.day) {
            ++left_out;
            return ask_.leave_undated ? std::nullopt : std::optional<Refusal>(no_day(row.line));
        }
        Dip dip;
        const auto metal = known(metals_, row.metal, "metal", row);
        const auto who = known(people_, row.who, "who", row);
        subject(row, metal, dip);
        dip.bath_id = bath(row, who);
        dip.at_about = row.day;
        dip.in_bath = row.length;
        dip.temp = row.temp;
        dip.who = who;
        dip.past_work = true;
        const std::optional<Tone> tone = tone_of(row, metal);
        words += static_cast<std::int64_t>(row.notes.size());
        dip.note = shortened(joined(row.notes, "; "), kLongestNote);
        insert(dip);
        ++dips;
        if (tone) {
            Judgement judgement;
            judgement.strip_id = dip.strip_id;
            judgement.piece_id = dip.piece_id;
            judgement.dip_id = dip.id;
            judgement.at = *row.day;
            judgement.tone_id = tone->id;
            judgement.who = who;
            insert(judgement);
        }
        return std::nullopt;
    }

private:
    template <class Noun>
    void insert(Noun& record) {
        record.made_at = now_;
        record.id = studio_.ids().next<Noun>(now_);
        store::insert(log_, record);
    }

    // The record of that name; a name that the log does not know stays words.
    template <class Noun>
    static std::optional<Id<Noun>> known(const std::unordered_map<std::string, Id<Noun>>& by_name, const std::string& name, std::string_view what, NotebookRow& row) {
        if (name.empty()) {
            return std::nullopt;
        }
        const auto found = by_name.find(folded(name));
        if (found == by_name.end()) {
            row.notes.push_back(fmt::format("{}: {}", what, name));
            return std::nullopt;
        }
        return found->second;
    }

    // One that the log has by this number, or a new one; remembered by its number.
    template <class Noun>
    Id<Noun> numbered(std::unordered_map<std::string, Id<Noun>>& by_number, const std::string& number, const auto& make) {
        const auto found = by_number.find(number);
        if (found != by_number.end()) {
            return found->second;
        }
        const auto there = store::list<Noun>(log_, "WHERE number = ?1", {number});
        Id<Noun> id;
        if (there.empty()) {
            Noun made;
            made.number = number;
            make(made);
            id = made.id;
        } else {
            id = there.front().id;
        }
        return by_number.emplace(number, id).first->second;
    }

    void subject(NotebookRow& row, const std::optional<Id<Metal>>& metal, Dip& dip) {
        if (!row.strip.empty() && metal) {
            dip.strip_id = numbered<Strip>(strips_, row.strip, [&](Strip& strip) {
                strip.metal_id = *metal;
                insert(strip);
            });
            if (!row.piece.empty()) {
                row.notes.push_back("piece: " + row.piece);
            }
            return;
        }
        if (!row.strip.empty()) {
            row.notes.push_back("strip: " + row.strip + ", of what metal is not known");
        }
        const std::string number = row.piece.empty() ? fmt::format("notebook {}", row.line) : row.piece;
        dip.piece_id = numbered<Piece>(pieces_, number, [&](Piece& piece) {
            insert(piece);
            Part part;
            part.piece_id = piece.id;
            part.name = "whole";
            part.metal_id = metal;
            insert(part);
        });
    }

    // Rows of one number, or else of one day and lot, share a bath.
    Id<Bath> bath(NotebookRow& row, const std::optional<Id<Person>>& who) {
        const std::string day = iso_text(*row.day).substr(0, 10);
        const std::string key = row.bath.empty() ? day + "\n" + folded(row.lot) : "\n" + row.bath;
        const auto found = baths_.find(key);
        if (found != baths_.end()) {
            return found->second;
        }
        Bath made;
        made.number = free_number(row.bath.empty() ? "notebook " + day : row.bath, !row.bath.empty());
        const auto lot = lots_.find(folded(row.lot));
        if (lot != lots_.end()) {
            made.lot_id = lot->second.id;
            made.finish_kind = lot->second.finish_kind;
            if (lot->second.unit == AmountUnit::g) {
                made.amount = row.amount;
            } else if (row.amount) {
                made.note = fmt::format("amount: {}", exact_text(*row.amount));
            }
        } else {
            made.finish_kind = "unknown";
            if (!row.lot.empty()) {
                made.note = "lot: " + row.lot;
            }
            if (row.amount) {
                made.note += fmt::format("{}amount: {} g", made.note.empty() ? "" : "; ", exact_text(*row.amount));
            }
        }
        made.water = row.water;
        made.who = who;
        made.made_up_at = *row.day;
        made.ended_at = *row.day;
        made.past_work = true;
        insert(made);
        return baths_.emplace(key, made.id).first->second;
    }

    std::string free_number(const std::string& wanted, bool mark) {
        const auto taken = [this](const std::string& number) { return !store::list<Bath>(log_, "WHERE number = ?1", {number}).empty(); };
        if (!taken(wanted)) {
            return wanted;
        }
        const std::string marked = mark ? wanted + ", notebook" : wanted;
        std::string number = marked;
        for (int next = 2; taken(number); ++next) {
            number = fmt::format("{} ({})", marked, next);
        }
        return number;
    }

    std::optional<Tone> tone_of(NotebookRow& row, const std::optional<Id<Metal>>& metal) {
        if (row.tone.empty()) {
            return std::nullopt;
        }
        if (metal) {
            if (const auto scale = scale_for(studio_, *metal, "")) {
                if (const auto tone = tone_on(studio_, *scale, "Tone", row.tone)) {
                    return *tone;
                }
            }
        }
        row.notes.push_back("tone: " + row.tone);
        return std::nullopt;
    }

    Studio& studio_;
    store::Log& log_;
    const NotebookAsk& ask_;
    Stamp now_;
    std::unordered_map<std::string, Lot> lots_;
    std::unordered_map<std::string, Id<Metal>> metals_;
    std::unordered_map<std::string, Id<Person>> people_;
    std::unordered_map<std::string, Id<Strip>> strips_;
    std::unordered_map<std::string, Id<Piece>> pieces_;
    std::unordered_map<std::string, Id<Bath>> baths_;
};

std::string times(std::int64_t n, std::string_view one, std::string_view many) { return counted(static_cast<std::size_t>(n), one, many); }

}  // namespace

Result<NotebookView> look_at_notebook(Studio& studio, const NotebookAsk& ask, const Watch& watch) {
    NotebookView view;
    const NotebookReading reading{
        .head = [&](const NotebookView& head) { view = head; },
        .cell =
            [&](std::size_t i, int line, const std::string& cell, CellFate fate) {
                NotebookColumn& column = view.columns[i];
                (fate == CellFate::read ? column.read : fate == CellFate::words ? column.words : column.blank) += 1;
                if (fate != CellFate::blank && column.samples.size() < kSamples) {
                    column.samples.push_back(shown(cell));
                }
                if (fate == CellFate::words && column.first_line == 0) {
                    column.first_word = shown(cell);
                    column.first_line = line;
                }
            },
        .row =
            [&](const NotebookRow& row) -> std::optional<Refusal> {
            ++view.rows;
            if (!row.day) {
                ++view.undated;
                view.first_undated = view.first_undated == 0 ? row.line : view.first_undated;
            }
            return std::nullopt;
        }};
    const Result<Done> done = read_notebook(studio, ask, reading, watch);
    return done ? Result<NotebookView>(std::move(view)) : done.error();
}

std::vector<std::string> notebook_words(const NotebookView& view) {
    std::vector<std::string> lines;
    for (const NotebookColumn& column : view.columns) {
        std::string line = fmt::format("{}: {}{}", column.name, word_of(column.meaning), column.guessed ? ", guessed" : "");
        line += column.samples.empty() ? "; nothing in it" : "; for example " + joined(column.samples, ", ");
        line += column.blank > 0 ? fmt::format("; {}", times(column.blank, "gap", "gaps")) : "";
        if (column.words > 0) {
            line += fmt::format("; {} left as words, the first on line {}: {}", times(column.words, "cell", "cells"), column.first_line, column.first_word);
        }
        lines.push_back(line + ".");
    }
    if (view.undated > 0) {
        lines.push_back(fmt::format("{} without a day that can be read, the first on line {}: left out, or nothing is brought in.", times(view.undated, "row", "rows"),
                                    view.first_undated));
    }
    return lines;
}

Result<Outcome> bring_notebook(Studio& studio, const NotebookAsk& ask, const Watch& watch) {
    if (studio.log().read_only()) {
        return Refusal{.code = "log.read_only", .message = "this log is open for reading only.", .remedy = "Write in the window that opened it first, or close that one."};
    }
    try {
        return studio.write("notebook " + shown(ask.file.filename().string()), [&]() -> Result<Outcome> {
            NotebookWriter writer(studio, ask);
            const NotebookReading reading{.head = {}, .cell = {}, .row = [&](const NotebookRow& row) { return writer.write(row); }};
            if (const Result<Done> done = read_notebook(studio, ask, reading, watch); !done) {
                return done.error();
            }
            Outcome outcome{.said = fmt::format("{} brought in as past work.", times(writer.dips, "dip", "dips")), .cautions = {}, .made = {}};
            if (writer.words > 0) {
                outcome.cautions.push_back(fmt::format("{} stand as words in the notes.", times(writer.words, "cell", "cells")));
            }
            if (writer.left_out > 0) {
                outcome.cautions.push_back(fmt::format("{} without a day left out.", times(writer.left_out, "row", "rows")));
            }
            return outcome;
        });
    } catch (const store::StoreError& trouble) {
        return log_trouble(trouble);
    }
}

}  // namespace tonebath::app
