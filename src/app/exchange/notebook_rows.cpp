#include "app/exchange/notebook_rows.hpp"

#include "app/exchange/csv.hpp"
#include "app/studio.hpp"
#include "model/rules/rule.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <fstream>
#include <sstream>

namespace tonebath::app {

namespace {

namespace fs = std::filesystem;

constexpr std::int64_t kLookEvery = 2000;  // rows between two looks at the watch
// Outside these a figure is not one of a bath that anyone dipped by hand: it stays words.
constexpr double kColdest_c = -20.0, kHottest_c = 110.0;
constexpr double kLongest_s = 30.0 * 86'400.0;

// Words on head lines that people write; from memory.
struct Guess {
    Meaning meaning;
    std::array<std::string_view, 6> heads;
};
constexpr std::array<Guess, 13> kGuesses{{{Meaning::day, {"date", "day", "when", "datum"}},
                                          {Meaning::time, {"time", "hour", "clock"}},
                                          {Meaning::piece, {"piece", "item", "number", "no", "design"}},
                                          {Meaning::strip, {"strip", "test strip", "swatch"}},
                                          {Meaning::metal, {"metal", "alloy"}},
                                          {Meaning::bath, {"bath", "bath no", "bath number"}},
                                          {Meaning::lot, {"lot", "jar", "bottle"}},
                                          {Meaning::amount, {"amount", "los", "grams", "lump"}},
                                          {Meaning::water, {"water", "ml", "volume"}},
                                          {Meaning::temperature, {"temp", "temperature", "deg", "heat"}},
                                          {Meaning::length, {"seconds", "secs", "dip", "length", "dip time", "duration"}},
                                          {Meaning::tone, {"tone", "colour", "color", "result"}},
                                          {Meaning::who, {"who", "by", "initials"}}}};

Meaning guess_of(const std::string& head) {
    const std::string name = folded(trimmed(head));
    for (const Guess& guess : kGuesses) {
        if (std::any_of(guess.heads.begin(), guess.heads.end(), [&](std::string_view one) { return !one.empty() && name == one; })) {
            return guess.meaning;
        }
    }
    return Meaning::note;
}

char separator_of(const std::string& head) {
    constexpr std::string_view kSeparators = ",;\t";
    char most = ',';
    for (const char one : kSeparators) {
        if (std::count(head.begin(), head.end(), one) > std::count(head.begin(), head.end(), most)) {
            most = one;
        }
    }
    return most;
}

// The head line's names with what they hold.
Result<std::vector<NotebookColumn>> columns_of(const std::vector<std::string>& names, const NotebookAsk& ask) {
    std::vector<NotebookColumn> columns;
    for (const std::string& name : names) {
        columns.push_back({.name = std::string(trimmed(name))});
    }
    std::map<Meaning, bool> taken;
    for (const auto& [meaning, wanted] : ask.columns) {
        const auto found = std::find_if(columns.begin(), columns.end(), [&](const NotebookColumn& one) { return folded(one.name) == folded(trimmed(wanted)); });
        if (found == columns.end()) {
            return rules::refuse("notebook.no_column", {std::string(word_of(meaning)), wanted}, "no column has that name.", "The columns are " + joined(names, ", ") + ".");
        }
        found->meaning = meaning;
        found->guessed = false;
        taken[meaning] = true;
    }
    for (NotebookColumn& column : columns) {
        if (column.guessed) {
            const Meaning guess = guess_of(column.name);
            column.meaning = guess == Meaning::note || taken[guess] ? Meaning::note : guess;
            taken[guess] = true;
        }
    }
    return columns;
}

// Three numbers with strokes, points or dashes between, the year of four digits: never a guess at the century.
std::optional<Stamp> numbers_as_day(std::string_view text, bool month_first, int offset_min) {
    std::array<int, 3> part{};
    std::array<std::size_t, 3> digits{};
    for (std::size_t i = 0; i < part.size(); ++i) {
        const char* const end = text.data() + text.size();
        const auto read = std::from_chars(text.data(), end, part[i]);
        digits[i] = static_cast<std::size_t>(read.ptr - text.data());
        text.remove_prefix(digits[i]);
        if (read.ec != std::errc{} || digits[i] == 0 || (i < 2) == text.empty()) {
            return std::nullopt;
        }
        if (i < 2) {
            if (text.front() != '/' && text.front() != '.' && text.front() != '-') {
                return std::nullopt;
            }
            text.remove_prefix(1);
        }
    }
    if (!text.empty() || digits[2] != 4) {
        return std::nullopt;
    }
    return parse_iso(fmt::format("{:04}-{:02}-{:02}", part[2], month_first ? part[0] : part[1], month_first ? part[1] : part[0]), offset_min);
}

std::optional<Stamp> day_of(std::string_view cell, const NotebookAsk& ask, const Stamp& now) {
    if (const auto iso = parse_iso(cell, now.offset_min)) {
        return iso;
    }
    if (const auto numbers = numbers_as_day(cell, ask.month_first, now.offset_min)) {
        return numbers;
    }
    // "12 March 2019": with its year, so that none is made up; never "yesterday".
    const auto digit = [](char c) { return c >= '0' && c <= '9'; };
    std::size_t run = 0;
    bool year = false;
    for (const char c : cell) {
        run = digit(c) ? run + 1 : 0;
        year = year || run == 4;
    }
    return year && !cell.empty() && digit(cell.front()) ? parse_moment(cell, now) : std::nullopt;
}

std::optional<Seconds> length_of(const std::string& cell, bool minutes) {
    if (minutes) {
        if (const auto number = parse_number("Length", cell)) {
            return Seconds::from_minutes(*number);
        }
    }
    const auto length = parse_duration("Length", cell);
    return length ? std::optional<Seconds>(*length) : std::nullopt;
}

// Reads one row's cells.
class RowReader {
public:
    RowReader(Studio& studio, const NotebookAsk& ask, const NotebookView& view) : studio_(studio), ask_(ask), view_(view) {}

    NotebookRow read(const CsvReader& csv, const NotebookReading& reading) {
        row_ = {.line = csv.line(), .bytes = csv.bytes()};
        time_.clear();
        for (std::size_t i = 0; i < view_.columns.size(); ++i) {
            const std::string cell(trimmed(csv.cells()[i]));
            const CellFate fate = cell.empty() ? CellFate::blank : take(view_.columns[i], cell) ? CellFate::read : CellFate::words;
            if (fate == CellFate::words) {
                row_.notes.push_back(view_.columns[i].name + ": " + cell);
            }
            if (reading.cell) {
                reading.cell(i, csv.line(), cell, fate);
            }
        }
        if (row_.day && !time_.empty()) {
            if (const auto at = parse_iso(iso_text(*row_.day).substr(0, 10) + " " + time_, row_.day->offset_min)) {
                row_.day = at;
            } else {
                row_.notes.push_back("time: " + time_);
            }
        }
        return std::move(row_);
    }

private:
    template <class T>
    static bool keep(std::optional<T>& place, std::optional<T> value) {
        place = std::move(value);
        return place.has_value();
    }
    static bool word(std::string& place, const std::string& cell) {
        constexpr std::size_t kLongest = 40;  // bytes, as a number or a name
        if (cell.size() > kLongest || cell.find('\n') != std::string::npos) {
            return false;
        }
        place = cell;
        return true;
    }

    bool take(const NotebookColumn& column, const std::string& cell) {
        switch (column.meaning) {
            case Meaning::note: row_.notes.push_back(column.name + ": " + cell); return true;
            case Meaning::day: return keep(row_.day, day_of(cell, ask_, studio_.now()));
            case Meaning::time: time_ = cell; return true;
            case Meaning::piece: return word(row_.piece, cell);
            case Meaning::strip: return word(row_.strip, cell);
            case Meaning::metal: return word(row_.metal, cell);
            case Meaning::bath: return word(row_.bath, cell);
            case Meaning::lot: return word(row_.lot, cell);
            case Meaning::tone: return word(row_.tone, cell);
            case Meaning::who: return word(row_.who, cell);
            case Meaning::amount: {
                const auto amount = parse_amount("Amount", cell, AmountUnit::g);
                return amount && *amount > 0.0 && keep(row_.amount, std::optional<double>(*amount));
            }
            case Meaning::water: {
                const auto water = parse_volume("Water", cell, ask_.units);
                return water && water->ml() > 0.0 && keep(row_.water, std::optional<Millilitres>(*water));
            }
            case Meaning::temperature: {
                const auto temp = parse_temperature("Temperature", cell, ask_.units);
                return temp && temp->celsius() > kColdest_c && temp->celsius() < kHottest_c && keep(row_.temp, std::optional<Celsius>(*temp));
            }
            case Meaning::length: {
                const auto length = length_of(cell, ask_.minutes);
                return length && length->seconds() > 0.0 && length->seconds() < kLongest_s && keep(row_.length, length);
            }
        }
        return false;
    }

    Studio& studio_;
    const NotebookAsk& ask_;
    const NotebookView& view_;
    NotebookRow row_;
    std::string time_;
};

}  // namespace

Result<Done> read_notebook(Studio& studio, const NotebookAsk& ask, const NotebookReading& reading, const Watch& watch) {
    const std::string name = ask.file.filename().string();
    std::ifstream in(ask.file, std::ios::binary);
    std::string head;
    if (!in || !fs::is_regular_file(ask.file)) {
        return rules::refuse("notebook.unreadable", {"File", ask.file.string()}, "it cannot be read.", "Look whether the name is right; save a spreadsheet as CSV first.");
    }
    std::getline(in, head);
    in.clear();
    in.seekg(0);
    NotebookView view{.separator = separator_of(head)};
    CsvReader csv(in, {.separator = view.separator});
    if (!csv.next()) {
        return rules::refuse("notebook.empty", {"File", name}, csv.fault().empty() ? "it is empty." : csv.fault(), "The first line names the columns.");
    }
    auto columns = columns_of(csv.cells(), ask);
    if (!columns) {
        return columns.error();
    }
    view.columns = std::move(columns).value();
    if (reading.head) {
        reading.head(view);
    }
    std::error_code trouble;
    const double all = std::max(1.0, static_cast<double>(fs::file_size(ask.file, trouble)));
    RowReader rows(studio, ask, view);
    for (std::int64_t count = 1; csv.next(); ++count) {
        const auto bad = [&](std::string why) {
            return rules::refuse("notebook.bad_row", {fmt::format("{} line {}", name, csv.line()), ""}, std::move(why), "Look for a separator too many, or a quotation mark that is not closed.");
        };
        if (csv.cells().size() != view.columns.size()) {
            return bad(fmt::format("it has {} cells, and the head line has {}.", csv.cells().size(), view.columns.size()));
        }
        if (std::any_of(csv.cells().begin(), csv.cells().end(), [](const std::string& cell) { return !is_valid_utf8(cell); })) {
            return bad("it is not UTF-8.");
        }
        if (auto no = reading.row(rows.read(csv, reading))) {
            return *no;
        }
        if (watch && count % kLookEvery == 0 && !watch(name, std::min(1.0, static_cast<double>(csv.bytes()) / all))) {
            return rules::refuse("notebook.stopped", {{}, ""}, "it was stopped.", "Nothing of it was written.");
        }
    }
    if (!csv.fault().empty()) {
        return rules::refuse("notebook.bad_row", {fmt::format("{} line {}", name, csv.line()), ""}, csv.fault(), "A quotation mark inside a cell is written twice.");
    }
    return Done{};
}

}  // namespace tonebath::app
