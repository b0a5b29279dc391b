#include "app/exchange/import.hpp"

#include "app/exchange/columns.hpp"
#include "app/exchange/export.hpp"
#include "app/exchange/read_rows.hpp"
#include "app/log_trouble.hpp"
#include "app/seed.hpp"
#include "app/studio.hpp"
#include "base/files.hpp"
#include "base/text.hpp"
#include "model/nouns.hpp"
#include "model/rules/rule.hpp"
#include "report/digest.hpp"
#include "store/change.hpp"
#include "store/query.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <fstream>
#include <map>
#include <optional>

namespace tonebath::app {

namespace {

namespace fs = std::filesystem;

constexpr std::int64_t kLookEvery = 2000;

// The tables that a new log already has words in.
bool has_first_words(std::string_view table) { return table == Metal::kTable || table == ToneScale::kTable || table == Tone::kTable; }

struct Listed {
    std::string name, sha256;
    std::int64_t records = 0;
};
struct Found {
    FileForm form = FileForm::csv;
    std::map<std::string_view, fs::path> files;  // by table
    std::vector<Listed> listed;
    bool has_list = false, invented = false;
    std::uintmax_t bytes = 0;
};

const ExchangeNoun* noun_of_file(const fs::path& file) {
    const auto& nouns = exchange_nouns();
    const auto found = std::find_if(nouns.begin(), nouns.end(), [&](const ExchangeNoun& one) { return file.stem() == one.table; });
    return found == nouns.end() ? nullptr : &*found;
}

Result<Done> read_list(const fs::path& file, int schema_here, Found& found) {
    const auto damaged = [&](const std::string& why) {
        return rules::refuse("import.bad_file", {file.filename().string(), ""}, fmt::format("the list of the files is not as an export writes it ({}).", why),
                       "Take this file away to bring the others in without it, or export again.");
    };
    try {
        const auto list = nlohmann::json::parse(read_file(file));
        if (const int schema = list.at("schema").get<int>(); schema > schema_here) {
            return rules::refuse("import.newer", {file.filename().string(), std::to_string(schema)},
                           fmt::format("these files are from a newer Tonebath; this one knows form {}.", schema_here),
                           "Bring them in with that one, or one newer still.");
        }
        found.invented = list.at("invented_studio").get<bool>();
        for (const auto& one : list.at("files")) {
            found.listed.push_back({one.at("file").get<std::string>(), one.at("sha256").get<std::string>(), one.at("records").get<std::int64_t>()});
        }
        found.has_list = true;
    } catch (const nlohmann::json::exception& problem) {
        return damaged(problem.what());
    }
    return Done{};
}

Result<Found> look_into(const fs::path& folder, int schema_here) {
    Found found;
    std::error_code trouble;
    if (!fs::is_directory(folder, trouble)) {
        return rules::refuse("import.nothing", {"Folder", folder.string()}, "there is no such folder.", "Name the folder that an export wrote.");
    }
    bool csv = false;
    bool json = false;
    for (const auto& entry : fs::directory_iterator(folder)) {
        const fs::path& file = entry.path();
        const std::string ending = file.extension().string();
        if ((ending != ".csv" && ending != ".json") || file.filename() == kExportList) {
            continue;
        }
        const ExchangeNoun* noun = noun_of_file(file);
        if (noun == nullptr) {
            return rules::refuse("import.unknown_file", {file.filename().string(), ""}, "no kind of record has that name.",
                           "Files are named after what they hold, for example lot.csv, bath.csv, client_order.csv; take this one away.");
        }
        (ending == ".csv" ? csv : json) = true;
        found.files[noun->table] = file;
        found.bytes += fs::file_size(file, trouble);
    }
    if (csv && json) {
        return rules::refuse("import.two_forms", {"Folder", folder.string()}, "it holds CSV and JSON files of records.", "Leave those of one form in it.");
    }
    if (!csv && !json) {
        return rules::refuse("import.nothing", {"Folder", folder.string()}, "no file of an export is in it.", "Name the folder that an export wrote.");
    }
    found.form = json ? FileForm::json : FileForm::csv;
    if (const fs::path list = folder / kExportList; fs::exists(list, trouble)) {
        if (const Result<Done> read = read_list(list, schema_here, found); !read) {
            return read.error();
        }
    }
    return found;
}

std::string sum_of(std::istream& in) {
    report::Digest sum;
    std::array<char, 65'536> part{};
    while (in.read(part.data(), part.size()) || in.gcount() > 0) {
        sum.add({part.data(), static_cast<std::size_t>(in.gcount())});
    }
    return sum.hex();
}

Result<Done> as_listed(const fs::path& folder, const Found& found) {
    constexpr const char* kRemedy = "Copy the whole export again. If it was changed on purpose, take export.json away.";
    for (const Listed& one : found.listed) {
        std::ifstream in(folder / one.name, std::ios::binary);
        if (!in) {
            return rules::refuse("import.not_as_listed", {one.name, ""}, "the export lists this file, and it is not there.", kRemedy);
        }
        if (sum_of(in) != one.sha256) {
            return rules::refuse("import.not_as_listed", {one.name, ""}, "it is not as it was written: its sum is another.", kRemedy);
        }
    }
    return Done{};
}

Refusal fault_of(const fs::path& file, const RowFault& fault) {
    return rules::refuse("import.bad_file", {fmt::format("{} line {}{}", file.filename().string(), fault.line, fault.column.empty() ? "" : ", " + fault.column), fault.value},
                   fault.message, fault.remedy + " Nothing was written.");
}

store::Bound bound_of(const StoredValue& value) {
    return std::visit([](const auto& one) -> store::Bound { return one; }, value);
}

// Brings the files in, within an open change.
class Bringer {
public:
    Bringer(Studio& studio, const Found& found, const Watch& watch) : studio_(studio), found_(found), watch_(watch) {}

    Result<Done> bring_all() {
        store::Log& log = studio_.log();
        store::run(log, "PRAGMA defer_foreign_keys = ON");
        store::run(log, "DELETE FROM tone");
        store::run(log, "DELETE FROM tone_scale");
        store::run(log, "DELETE FROM metal");
        for (const ExchangeNoun& noun : exchange_nouns()) {
            const auto file = found_.files.find(noun.table);
            if (file == found_.files.end()) {
                continue;
            }
            if (Result<Done> brought = bring(noun, file->second); !brought) {
                return brought;
            }
        }
        return look_at_references();
    }
    [[nodiscard]] std::int64_t records() const { return records_; }

private:
    Result<Done> bring(const ExchangeNoun& noun, const fs::path& file) {
        std::ifstream in(file, std::ios::binary);
        if (!in) {
            return rules::refuse("import.bad_file", {file.filename().string(), ""}, "it cannot be read.", "Look who may read it. Nothing was written.");
        }
        const std::string names = noun.stored_names();
        std::string places;
        for (std::size_t i = 0; i <= static_cast<std::size_t>(std::count(names.begin(), names.end(), ',')); ++i) {
            places += fmt::format("{}?{}", i == 0 ? "" : ", ", i + 1);
        }
        const std::string insert = fmt::format("INSERT INTO {} ({}) VALUES ({})", noun.table, names, places);
        bool going_on = true;
        const auto take = [&](const Row& row) -> std::optional<RowFault> {
            if (++records_ % kLookEvery == 0) {
                going_on = look(file, row.bytes);
                if (!going_on) {
                    return RowFault{};
                }
            }
            std::vector<store::Bound> values;
            values.reserve(row.values.size());
            std::transform(row.values.begin(), row.values.end(), std::back_inserter(values), bound_of);
            try {
                store::run(studio_.log(), insert, values);
            } catch (const store::StoreError& trouble) {
                if (trouble.kind() != store::StoreError::Kind::rule) {
                    throw;
                }
                return RowFault{.line = row.line, .value = std::get<std::string>(row.values.front()), .message = trouble.what(),
                                .remedy = "Correct this record in the file."};
            }
            return std::nullopt;
        };
        const auto fault = found_.form == FileForm::json ? read_json_rows(noun, in, take) : read_csv_rows(noun, in, take);
        if (!going_on) {
            return stopped();
        }
        if (fault) {
            return fault_of(file, *fault);
        }
        if (in.bad()) {
            return rules::refuse("import.bad_file", {file.filename().string(), ""}, "it could not be read to its end.", "Copy it again. Nothing was written.");
        }
        bytes_before_ += static_cast<double>(fs::file_size(file));
        return look(file, 0) ? Result<Done>(Done{}) : stopped();
    }

    bool look(const fs::path& file, std::int64_t bytes) const {
        const double all = std::max(1.0, static_cast<double>(found_.bytes));
        return !watch_ || watch_(file.filename().string(), std::min(1.0, (bytes_before_ + static_cast<double>(bytes)) / all));
    }

    static Refusal stopped() { return rules::refuse("import.stopped", {"", ""}, "it was stopped.", "Nothing of it was written; begin again when you like."); }

    Result<Done> look_at_references() {
        std::string table;
        std::string parent;
        std::int64_t row = 0;
        {
            store::Query query(studio_.log(), "PRAGMA foreign_key_check");
            if (!query.next()) {
                return Done{};
            }
            table = query.text(0);
            row = query.integer(1);
            parent = query.text(2);
        }
        store::Query named(studio_.log(), fmt::format("SELECT id FROM {} WHERE rowid = ?1", table), {row});
        const std::string id = named.next() ? named.text(0) : std::string();
        const auto file = found_.files.find(table);
        return rules::refuse("import.missing_record", {file == found_.files.end() ? table : fmt::format("{} line {}", file->second.filename().string(), line_of(table, id)), id}, fmt::format("this record refers to a {} that is not in the files.", noun_word(parent)),
                       "Bring in all files of one export together. Nothing was written.");
    }

    // Read once more, to say where.
    int line_of(std::string_view table, const std::string& id) const {
        const fs::path& file = found_.files.at(table);
        const ExchangeNoun* noun = noun_of_file(file);
        std::ifstream in(file, std::ios::binary);
        int line = 0;
        const auto take = [&](const Row& row) -> std::optional<RowFault> {
            if (std::get<std::string>(row.values.front()) != id) {
                return std::nullopt;
            }
            line = row.line;
            return RowFault{};
        };
        static_cast<void>(found_.form == FileForm::json ? read_json_rows(*noun, in, take) : read_csv_rows(*noun, in, take));
        return line;
    }

    Studio& studio_;
    const Found& found_;
    const Watch& watch_;
    std::int64_t records_ = 0;
    double bytes_before_ = 0.0;
};

Refusal not_empty() {
    return rules::refuse("import.not_empty", {"log", ""}, "this log already holds records, and an export is brought into an empty one only.",
                   "Name a new log: tonebath --log NEW.tonebath log import … Two logs are made one by joining them.");
}

}  // namespace

bool is_empty_log(Studio& studio) {
    store::Log& log = studio.log();
    for (const ExchangeNoun& noun : exchange_nouns()) {
        // Of the words a new log begins with nothing was added or changed since.
        const std::string own = has_first_words(noun.table)
                                    ? " WHERE id NOT IN (SELECT record_id FROM change_row JOIN change ON seq = change_seq WHERE step = ?1) OR id IN "
                                      "(SELECT record_id FROM change_row WHERE kind = 'update')"
                                    : " WHERE ?1 <> ''";
        store::Query query(log, fmt::format("SELECT 1 FROM {}{} LIMIT 1", noun.table, own), {std::string(kFirstWords)});
        if (query.next()) {
            return false;
        }
    }
    return true;
}

Result<Outcome> import_log(Studio& studio, const fs::path& folder, const Watch& watch) {
    if (studio.log().read_only()) {
        return rules::refuse("log.read_only", {"", ""}, "this log is open for reading only.", "Write in the window that opened it first, or close that one.");
    }
    try {
        if (!is_empty_log(studio)) {
            return not_empty();
        }
        const Result<Found> found = look_into(folder, store::schema_version());
        if (!found) {
            return found.error();
        }
        if (const Result<Done> listed = as_listed(folder, *found); !listed) {
            return listed.error();
        }
        const std::optional<Person> who = studio.at_bench();
        const fs::path named = folder.has_filename() ? folder : folder.parent_path();
        store::Change change(studio.log(), fmt::format("bring in {}", shown(named.filename().string())), studio.now(), who ? who->id.text : std::string(),
                             studio.ids());
        change.brings_in();
        if (!is_empty_log(studio)) {  // as it stands now that no other program can write
            return not_empty();
        }
        Bringer bringer(studio, *found, watch);
        if (const Result<Done> brought = bringer.bring_all(); !brought) {
            return brought.error();
        }
        change.commit();
        Outcome outcome{.said = fmt::format("{} brought in from {}.", counted(static_cast<std::size_t>(bringer.records()), "record", "records"), folder.string()),
                        .cautions = {},
                        .made = {}};
        if (found->invented) {
            outcome.cautions.push_back("These are the records of the invented studio; nobody worked so.");
        }
        return outcome;
    } catch (const store::StoreError& trouble) {
        return log_trouble(trouble);
    } catch (const FileError& trouble) {
        return rules::refuse("import.bad_file", {"", ""}, trouble.what(), "Nothing was written.");
    }
}

}  // namespace tonebath::app
