#include "app/log_care.hpp"

#include "app/pin.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/person.hpp"
#include "store/backup.hpp"
#include "store/change.hpp"
#include "store/record.hpp"
#include "store/rehearsal.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace tonebath::app {

namespace {

Refusal trouble(const store::StoreError& problem) {
    return {.code = "log.trouble", .field = "log", .message = problem.what(),
            .remedy = "Nothing written before it is lost; free space or close the other program, then do it again."};
}

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
                              contents->baths, contents->strips, contents->pieces, contents->dips, Cell{}});
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

bool backup_due(Studio& studio) {
    if (studio.options().log.empty()) {
        return false;
    }
    const std::vector<std::filesystem::path> all = store::backups(studio.log().file());
    constexpr double kDay_s = 86400.0;
    return all.empty() || all.front().filename() < store::backup_name(studio.log().file(), plus_seconds(studio.now(), -kDay_s));
}

Result<Rehearsed> rehearse_restore(Studio& studio, const std::filesystem::path& file,
                                   const std::function<bool(std::int64_t done, std::int64_t all)>& goes_on) {
    Rehearsed done{.file = file, .tables = {.noun = "table"}};
    if (file.empty()) {
        const std::vector<std::filesystem::path> all = store::backups(studio.log().file());
        if (all.empty()) {
            return Refusal{.code = "backup.none", .field = "backup", .value = {}, .message = "there is no backup of this log yet.", .remedy = "Back up first.", .answers = {}};
        }
        done.file = all.front();
    }
    try {
        const auto rehearsal = store::rehearse_restore(studio.log(), done.file, goes_on);
        if (!rehearsal) {
            return rehearsal.error();
        }
        for (const char* name : {"table", "in_backup", "in_log", "equal", "changed_since", "unexplained"}) {
            done.tables.columns.push_back({.name = name});
        }
        std::int64_t rows = 0;
        std::int64_t unexplained = 0;
        for (const store::RehearsedTable& one : rehearsal->tables) {
            done.tables.rows.push_back({one.table, one.in_backup, one.in_log, one.equal, one.later, one.unexplained});
            rows += one.in_backup;
            unexplained += one.unexplained;
        }
        done.sound = rehearsal->sound();
        done.faults = rehearsal->faults;
        const std::string name = done.file.filename().string();
        done.said = !rehearsal->faults.empty() ? fmt::format("{} does not open whole: {}.", name, rehearsal->faults.front())
                    : unexplained > 0          ? fmt::format("{} opens, but {} from the log and no change tells why.", name, counted(static_cast<std::size_t>(unexplained), "row differs", "rows differ"))
                                               : fmt::format("{} was put in place aside and opens whole: {} in {} tables stand as the log has them, but for {} made since.", name,
                                                             counted(static_cast<std::size_t>(rows), "row", "rows"), rehearsal->tables.size(),
                                                             counted(static_cast<std::size_t>(rehearsal->changes_since), "change", "changes"));
        return done;
    } catch (const store::StoreError& problem) {
        return trouble(problem);
    }
}

}  // namespace tonebath::app
