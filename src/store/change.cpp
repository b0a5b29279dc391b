#include "store/change.hpp"

#include "model/nouns.hpp"
#include "store/brought_in.hpp"
#include "store/errors.hpp"
#include "store/query.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <nlohmann/json.hpp>

#include <cstdio>
#include <map>

namespace tonebath::store {
namespace {

using Json = nlohmann::ordered_json;

// The session records the studio's tables; the change log, settings and the find index are not part of a change.
int is_recorded(void*, const char* table) {
    const std::string_view name = table;
    const auto begins = [name](std::string_view head) { return name.substr(0, head.size()) == head; };
    return begins("change") || begins("find_") || name == "setting" ? 0 : 1;
}

struct SessionEnd {
    void operator()(sqlite3_session* session) const { sqlite3session_delete(session); }
};
using Session = std::unique_ptr<sqlite3_session, SessionEnd>;

struct IteratorEnd {
    void operator()(sqlite3_changeset_iter* iterator) const { sqlite3changeset_finalize(iterator); }
};
using Iterator = std::unique_ptr<sqlite3_changeset_iter, IteratorEnd>;

struct Freed {
    void operator()(void* memory) const { sqlite3_free(memory); }
};

Json json_of(sqlite3_value* value) {
    switch (sqlite3_value_type(value)) {
        case SQLITE_INTEGER: return sqlite3_value_int64(value);
        case SQLITE_FLOAT: return sqlite3_value_double(value);
        case SQLITE_TEXT:
            return std::string(static_cast<const char*>(static_cast<const void*>(sqlite3_value_text(value))),
                               static_cast<std::size_t>(sqlite3_value_bytes(value)));
        default: return nullptr;
    }
}

std::string text_of(sqlite3_value* value) {
    const Json json = json_of(value);
    return json.is_string() ? json.get<std::string>() : std::string();
}

class Writer {
public:
    explicit Writer(Log& log) : log_(log) {}

    void write(std::int64_t seq, sqlite3_changeset_iter* iterator) {
        const char* table = nullptr;
        int count = 0;
        int kind = 0;
        int indirect = 0;
        sqlite3changeset_op(iterator, &table, &count, &kind, &indirect);
        const std::vector<std::string>& names = columns_of(table);
        TB_CHECK(names.size() == static_cast<std::size_t>(count));
        Json before = Json::object();
        Json after = Json::object();
        std::string record_id;
        for (int i = 0; i < count; ++i) {
            sqlite3_value* was = nullptr;
            sqlite3_value* is = nullptr;
            if (kind != SQLITE_INSERT) {
                sqlite3changeset_old(iterator, i, &was);
            }
            if (kind != SQLITE_DELETE) {
                sqlite3changeset_new(iterator, i, &is);
            }
            if (i == 0) {
                record_id = text_of(was != nullptr ? was : is);
            }
            const std::string& name = names[static_cast<std::size_t>(i)];
            if (kind == SQLITE_UPDATE) {
                if (is != nullptr) {  // the unchanged ones are null pointers, except for the id
                    before[name] = json_of(was);
                    after[name] = json_of(is);
                }
            } else if (sqlite3_value* known = was != nullptr ? was : is; sqlite3_value_type(known) != SQLITE_NULL) {
                (kind == SQLITE_INSERT ? after : before)[name] = json_of(known);
            }
        }
        const char* word = kind == SQLITE_INSERT ? "insert" : kind == SQLITE_UPDATE ? "update" : "delete";
        run(log_,
            "INSERT INTO change_row (change_seq, table_name, record_id, kind, before_json, after_json) "
            "VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            {seq, std::string(table), record_id, std::string(word), before.dump(), after.dump()});
    }

private:
    const std::vector<std::string>& columns_of(const std::string& table) {
        std::vector<std::string>& names = columns_[table];
        if (names.empty()) {
            Query query(log_, "SELECT name FROM pragma_table_info(?1) ORDER BY cid", {table});
            while (query.next()) {
                names.push_back(query.text(0));
            }
        }
        return names;
    }

    Log& log_;
    std::map<std::string, std::vector<std::string>> columns_;
};

}  // namespace

struct Change::State {
    Log& log;
    std::string step;
    Stamp at;
    std::string who_id;
    IdSource& ids;
    std::string undoes;
    Session session;
    bool open = true;
    bool alone = false;  // written down without any record
    bool brings_in = false;

    // Empty when nothing was changed.
    std::string write_log() {
        int size = 0;
        void* bytes = nullptr;
        log.database().check(sqlite3session_changeset(session.get(), &size, &bytes));
        const std::unique_ptr<void, Freed> changeset(bytes);
        session.reset();
        if (size == 0 && !alone) {
            return {};
        }
        const std::string id = ids.next<ChangeEntry>(at).text;
        run(log,
            "INSERT INTO change (id, at_utc_ms, at_offset_min, who_id, step, undoes) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            {id, at.utc_ms, std::int64_t{at.offset_min}, who_id, step,
             undoes.empty() ? Bound(nullptr) : Bound(undoes)});
        const std::int64_t seq = log.database().getLastInsertRowid();
        if (brings_in) {
            mark_brought_in(log, id);
        }
        if (size == 0) {
            return id;
        }
        sqlite3_changeset_iter* raw = nullptr;
        log.database().check(sqlite3changeset_start(&raw, size, bytes));
        const Iterator iterator(raw);
        Writer writer(log);
        while (sqlite3changeset_next(iterator.get()) == SQLITE_ROW) {
            writer.write(seq, iterator.get());
        }
        return id;
    }

    bool transaction_open() const { return sqlite3_get_autocommit(log.database().getHandle()) == 0; }
};

Change::Change(Log& log, std::string step, const Stamp& at, std::string who_id, IdSource& ids) {
    TB_CHECK(!log.writing());
    if (log.read_only()) {
        throw StoreError(
            fmt::format("{} is open for reading only here: another window writes to it.", log.file().string()),
            StoreError::Kind::read_only);
    }
    translated(log.file(), [&] { log.database().exec("BEGIN IMMEDIATE"); });
    sqlite3_session* session = nullptr;
    const int made = sqlite3session_create(log.database().getHandle(), "main", &session);
    Session kept(session);
    if (made == SQLITE_OK) {
        sqlite3session_table_filter(session, is_recorded, nullptr);
    }
    if (made != SQLITE_OK || sqlite3session_attach(session, nullptr) != SQLITE_OK) {
        log.database().tryExec("ROLLBACK");
        throw StoreError("The change could not be recorded, so it was not begun: there is no memory left.");
    }
    state_ = std::make_unique<State>(
        State{log, std::move(step), at, std::move(who_id), ids, std::string(), std::move(kept)});
    log.writing_ = true;
}

Change::~Change() {
    if (!state_->open) {
        return;
    }
    state_->session.reset();
    state_->log.writing_ = false;
    if (state_->transaction_open() && state_->log.database().tryExec("ROLLBACK") != SQLITE_OK) {
        fmt::print(stderr, "A change of {} could not be taken back: {}\n", state_->log.file().string(),
                   state_->log.database().getErrorMsg());
    }
}

void Change::stands_alone() {
    state_->alone = true;
}

void Change::brings_in() {
    state_->brings_in = true;
}

void Change::takes_back(std::string change_id) {
    state_->undoes = std::move(change_id);
}

std::string Change::commit() {
    TB_CHECK(state_->open);
    Log& log = state_->log;
    if (!state_->transaction_open()) {
        throw StoreError(
            fmt::format("This step was given up before, when writing to {} failed. Nothing of it was written.",
                        log.file().string()));
    }
    std::string id = translated(log.file(), [&] {
        std::string written = state_->write_log();
        log.database().exec("COMMIT");
        return written;
    });
    state_->open = false;
    log.writing_ = false;
    ++log.generation_;
    return id;
}

}  // namespace tonebath::store
