#include "app/exchange/export.hpp"

#include "app/exchange/columns.hpp"
#include "app/exchange/csv.hpp"
#include "app/exchange/new_folder.hpp"
#include "app/log_trouble.hpp"
#include "app/studio.hpp"
#include "base/file_writer.hpp"
#include "base/files.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "report/digest.hpp"
#include "store/query.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <numeric>

namespace tonebath::app {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::int64_t kLookEvery = 2000;  // records between two looks at the watch

Refusal stopped() {
    return Refusal{.code = "export.stopped",
                   .field = {},
                   .value = {},
                   .message = "it was stopped.",
                   .remedy = "Nothing of it stays; begin again when you like.",
                   .answers = {}};
}

Refusal bad_text(const ExchangeNoun& noun, const ExchangeColumn& column, const std::string& id) {
    return Refusal{.code = "export.bad_text",
                   .field = fmt::format("{} {}", noun.word, column.name),
                   .value = id,
                   .message = "this text of the log is not UTF-8.",
                   .remedy = "Correct the record, or look whether the log is whole (log check).",
                   .answers = {}};
}

// One cell as it stands in a file; `at` moves past it.
class CellWriter {
public:
    CellWriter(const ExchangeNoun& noun, FileForm form) : noun_(noun), form_(form) {}

    std::string head() const {
        if (form_ == FileForm::json) {
            return "[";
        }
        std::string line;
        for (const ExchangeColumn& column : noun_.columns) {
            line += (line.empty() ? "" : ",") + std::string(column.name);
        }
        return line + "\r\n";
    }
    std::string tail(std::int64_t records) const { return form_ == FileForm::csv ? "" : records == 0 ? "]\n" : "\n]\n"; }

    // The record under the query as a line; the column whose text cannot be written, if there is one.
    const ExchangeColumn* line_of(const store::Query& query, std::int64_t before, std::string& line) const {
        line.clear();
        if (form_ == FileForm::json) {
            line += before == 0 ? "\n{" : ",\n{";
        }
        int at = 0;
        bool first = true;
        for (const ExchangeColumn& column : noun_.columns) {
            if (!first) {
                line += form_ == FileForm::json ? ", " : ",";
            }
            first = false;
            if (form_ == FileForm::json) {
                line += fmt::format("\"{}\": ", column.name);
            }
            if (!put(column, query, at, line)) {
                return &column;
            }
            at += column.kind == CellKind::moment ? 2 : 1;
        }
        line += form_ == FileForm::json ? "}" : "\r\n";
        return nullptr;
    }

private:
    bool put(const ExchangeColumn& column, const store::Query& query, int at, std::string& line) const {
        const bool json = form_ == FileForm::json;
        if (query.unknown(at)) {
            line += json ? "null" : "";
            return true;
        }
        switch (column.kind) {
            case CellKind::number: line += exact_text(query.real(at)); return true;
            case CellKind::whole: line += std::to_string(query.integer(at)); return true;
            case CellKind::yes_no: {
                const bool yes = query.integer(at) != 0;
                line += json ? (yes ? "true" : "false") : yes ? "yes" : "no";
                return true;
            }
            case CellKind::moment: return put_text(iso_text(query.stamp(at)), line);
            case CellKind::text: return put_text(json ? query.text(at) : defused(query.text(at)), line);
            case CellKind::id:
            case CellKind::reference:
            case CellKind::word: break;
        }
        return put_text(query.text(at), line);
    }

    bool put_text(const std::string& text, std::string& line) const {
        if (!is_valid_utf8(text)) {
            return false;
        }
        if (form_ == FileForm::json) {
            line += Json(text).dump();
        } else {
            append_csv_cell(line, text);
        }
        return true;
    }

    const ExchangeNoun& noun_;
    FileForm form_;
};

std::int64_t count_of(Studio& studio, std::string_view table) {
    store::Query query(studio.log(), fmt::format("SELECT count(*) FROM {}", table));
    return query.next() ? query.integer(0) : 0;
}

const ExchangeNoun& noun_of(std::string_view table) {
    const auto& nouns = exchange_nouns();
    const auto found = std::find_if(nouns.begin(), nouns.end(), [table](const ExchangeNoun& one) { return one.table == table; });
    TB_CHECK(found != nouns.end());
    return *found;
}

int schema_of(Studio& studio) {
    store::Query query(studio.log(), "PRAGMA user_version");
    return query.next() ? static_cast<int>(query.integer(0)) : 0;
}

Json list_of(const Exported& exported, int schema, bool invented) {
    Json files = Json::array();
    for (const WrittenFile& file : exported.files) {
        files.push_back({{"file", file.name}, {"records", file.records}, {"sha256", file.sha256}});
    }
    return {{"what", "tonebath export"}, {"schema", schema}, {"invented_studio", invented}, {"files", files}};
}

}  // namespace

FileForm file_form(std::string_view word) { return word == "json" ? FileForm::json : FileForm::csv; }

std::string_view ending_of(FileForm form) { return form == FileForm::json ? ".json" : ".csv"; }

Result<WrittenFile> write_noun(Studio& studio, const NounFile& what, const std::filesystem::path& folder, FileForm form, const Watch& watch) {
    const ExchangeNoun& noun = noun_of(what.table);
    const CellWriter cells(noun, form);
    WrittenFile written{.name = std::string(noun.table) + std::string(ending_of(form))};
    FileWriter file(folder / written.name);
    report::Digest sum;
    const auto put = [&](const std::string& bytes) {
        file.write(bytes);
        sum.add(bytes);
    };
    put(cells.head());
    const std::vector<store::Bound> values(what.moments.begin(), what.moments.end());
    store::Query query(studio.log(), fmt::format("SELECT {} FROM {} {} ORDER BY id", noun.stored_names(), noun.table, what.where), values);
    std::string line;
    while (query.next()) {
        if (const ExchangeColumn* bad = cells.line_of(query, written.records, line)) {
            return bad_text(noun, *bad, query.text(0));
        }
        put(line);
        ++written.records;
        if (watch && written.records % kLookEvery == 0 && !watch(written.name, static_cast<double>(written.records))) {
            return stopped();
        }
    }
    put(cells.tail(written.records));
    file.finish();
    written.sha256 = sum.hex();
    return written;
}

Result<Exported> export_log(Studio& studio, const std::filesystem::path& folder, FileForm form, const Watch& watch) {
    Result<NewFolder> place = NewFolder::beside(folder);
    if (!place) {
        return place.error();
    }
    NewFolder part = std::move(place).value();
    Exported exported{.folder = folder};
    try {
        const store::Snapshot one_moment(studio.log());
        const auto& nouns = exchange_nouns();
        const auto all = std::accumulate(nouns.begin(), nouns.end(), std::int64_t{0},
                                         [&](std::int64_t sum, const ExchangeNoun& noun) { return sum + count_of(studio, noun.table); });
        const auto share = [all](double records) { return all == 0 ? 1.0 : std::min(1.0, records / static_cast<double>(all)); };
        for (const ExchangeNoun& noun : nouns) {
            const Watch look = [&](std::string_view what, double records) {
                return !watch || watch(what, share(static_cast<double>(exported.records) + records));
            };
            Result<WrittenFile> file = write_noun(studio, {.table = noun.table}, part.path(), form, look);
            if (!file) {
                return file.error();
            }
            exported.records += file->records;
            exported.files.push_back(*file);
            if (!look(file->name, 0.0)) {
                return stopped();
            }
        }
        write_file_whole(part.path() / kExportList, list_of(exported, schema_of(studio), studio.demo()).dump(2) + "\n");
    } catch (const FileError& trouble) {
        return not_written(folder, trouble.what());
    } catch (const store::StoreError& trouble) {
        return log_trouble(trouble);
    }
    if (const Result<Done> placed = part.put_in_place(); !placed) {
        return placed.error();
    }
    return exported;
}

}  // namespace tonebath::app
