#include "app/log_care.hpp"

#include "app/pin.hpp"
#include "app/studio.hpp"
#include "model/person.hpp"
#include "store/backup.hpp"
#include "store/change.hpp"
#include "store/record.hpp"

#include <nlohmann/json.hpp>

namespace tonebath::app {

namespace {

Refusal trouble(const store::StoreError& problem) {
    return {.code = "log.trouble", .field = "log", .message = problem.what(),
            .remedy = "Nothing written before it is lost; free space or close the other program, then do it again."};
}

Cell counted(std::int64_t n) { return n; }

// Of a person it is told that a PIN is set, not what is kept of it.
std::string without_pin(const std::string& table, const std::string& row_json) {
    if (table != Person::kTable || row_json.empty()) {
        return row_json;
    }
    auto row = nlohmann::ordered_json::parse(row_json, nullptr, false);
    const auto pin = row.is_object() ? row.find(kPinColumn) : row.end();
    if (pin == row.end() || !pin->is_string() || pin->get<std::string>().empty()) {
        return row_json;
    }
    *pin = kPinSet;
    return row.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

}  // namespace

std::vector<std::string> log_faults(Studio& studio) { return studio.log().faults(); }

RecordTable log_changes(Studio& studio, std::size_t limit, const std::string& record_id) {
    RecordTable table{.noun = "change"};
    for (const char* name : {"seq", "at", "who", "step", "taken_back", "table", "record", "kind", "before", "after"}) {
        table.columns.push_back({.name = name});
    }
    for (const store::ChangeEntry& entry : store::changes(studio.log(), limit, record_id)) {
        const auto person = store::find(studio.log(), Id<Person>{entry.who_id});
        if (entry.rows.empty()) {  // says something and touched no record
            table.rows.push_back({entry.seq, iso_text(entry.at), person ? Cell{person->initials} : Cell{}, entry.step, std::string(), {}, {},
                                  {}, {}, {}});
        }
        for (const store::ChangeRow& row : entry.rows) {
            table.rows.push_back({entry.seq, iso_text(entry.at), person ? Cell{person->initials} : Cell{}, entry.step,
                                  std::string(entry.undone_by.empty() ? "" : "yes"), row.table, row.record_id, row.kind,
                                  without_pin(row.table, row.before_json), without_pin(row.table, row.after_json)});
        }
    }
    return table;
}

Result<std::filesystem::path> back_up(Studio& studio) {
    try {
        return store::make_backup(studio.log(), studio.now());
    } catch (const store::StoreError& problem) {
        return trouble(problem);
    }
}

RecordTable backup_list(const std::filesystem::path& log_file) {
    RecordTable table{.noun = "backup"};
    for (const char* name : {"file", "last_change", "baths", "strips", "pieces", "dips", "trouble"}) {
        table.columns.push_back({.name = name});
    }
    for (const std::filesystem::path& file : store::backups(log_file)) {
        const auto contents = store::restore_check(file);
        if (!contents) {
            table.rows.push_back({file.string(), {}, {}, {}, {}, {}, contents.error().text()});
            continue;
        }
        table.rows.push_back({file.string(), contents->last_change ? Cell{iso_text(*contents->last_change)} : Cell{},
                              counted(contents->baths), counted(contents->strips), counted(contents->pieces),
                              counted(contents->dips), Cell{}});
    }
    return table;
}

Result<std::string> restore_backup(const std::filesystem::path& log_file, const std::filesystem::path& backup) {
    try {
        const auto kept = store::restore(log_file, backup);
        if (!kept) {
            return kept.error();
        }
        return kept->has_value() ? (*kept)->string() : std::string();
    } catch (const store::StoreError& problem) {
        return trouble(problem);
    }
}

}  // namespace tonebath::app
