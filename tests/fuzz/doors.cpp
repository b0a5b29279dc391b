#include "fuzz/doors.hpp"

#include "app/checklist_file.hpp"
#include "app/csv_file.hpp"
#include "app/data_files.hpp"
#include "app/exchange/read_rows.hpp"
#include "base/files.hpp"
#include "store/backup.hpp"
#include "store/change.hpp"
#include "store/join.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <fstream>
#include <optional>
#include <sstream>
#include <stdexcept>
#include <string_view>

namespace tonebath::fuzz {

namespace fs = std::filesystem;

namespace {

void must(bool holds, const char* else_said) {
    if (!holds) {
        throw std::logic_error(else_said);
    }
}

// A record that came through has a value for each column as the log keeps it.
std::optional<app::RowFault> taken(const app::ExchangeNoun& noun, const app::Row& row) {
    const std::string names = noun.stored_names();
    must(row.values.size() == static_cast<std::size_t>(1 + std::count(names.begin(), names.end(), ',')), "a record came through with values missing");
    must(row.line >= 1, "a record has no line");
    return std::nullopt;
}

void told(const std::optional<app::RowFault>& fault) { must(!fault || !fault->message.empty(), "a file was refused without words"); }

}  // namespace

void feed_toml(const fs::path& file) {
    static const app::SourceWords kNone{};
    static_cast<void>(app::read_checklist(file, kNone));
    static_cast<void>(app::read_metals(file));
    static_cast<void>(app::read_scales(file));
}

void feed_csv(const fs::path& file) {
    const std::string text = read_file(file);
    for (const app::CsvRecord& record : app::csv_records(text)) {
        must(record.line >= 1, "a line of a table has no number");
    }
    static_cast<void>(app::read_finish_kinds(file));
    static_cast<void>(app::rows_under(file, text.substr(0, text.find('\n'))));
    for (const app::ExchangeNoun& noun : app::exchange_nouns()) {
        std::ifstream in(file, std::ios::binary);
        told(app::read_csv_rows(noun, in, [&noun](const app::Row& row) { return taken(noun, row); }));
    }
}

void feed_json(const fs::path& file) {
    for (const app::ExchangeNoun& noun : app::exchange_nouns()) {
        std::ifstream in(file, std::ios::binary);
        told(app::read_json_rows(noun, in, [&noun](const app::Row& row) { return taken(noun, row); }));
    }
}

void feed_log(const fs::path& file) {
    const std::string before = read_file(file);
    try {
        static_cast<void>(store::restore_check(file));
        if (const auto other = store::OtherLog::open(file)) {
            static_cast<void>((*other)->log().faults());
            static const auto ours = store::Log::in_memory();  // only looked at
            static_cast<void>(store::preview_join(*ours, **other, {}));
        }
    } catch (const store::StoreError& told) {
        must(std::string_view(told.what()).size() > 20, "a log was refused without words");
    }
    must(read_file(file) == before, "another bench's log was changed");  // whatever it is, it stays as it is
}

std::string small_log(const fs::path& file) {
    IdSource ids(5);
    {
        const auto log = store::Log::in_memory();
        const Stamp at{1774946520000, 60};
        store::Change change(*log, "seed", at, "", ids);
        Metal metal;
        metal.id = ids.next<Metal>(at);
        metal.name = "sterling";
        metal.made_at = at;
        store::insert(*log, metal);
        Piece piece;
        piece.id = ids.next<Piece>(at);
        piece.number = "P-031";
        piece.made_at = at;
        store::insert(*log, piece);
        change.commit();
        store::run(*log, "VACUUM INTO ?1", {file.string()});
    }
    return read_file(file);
}

// "offset hex" a line.
std::string with_bytes(std::string log, const std::string& recipe) {
    std::istringstream lines(recipe);
    for (std::string line; std::getline(lines, line);) {
        if (line.empty() || line[0] == '#') {
            continue;
        }
        std::istringstream words(line);
        std::size_t at = 0;
        std::string hex;
        words >> at >> hex;
        for (std::size_t i = 0; i + 1 < hex.size(); i += 2) {
            log.at(at + i / 2) = static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
        }
    }
    return log;
}

}  // namespace tonebath::fuzz
