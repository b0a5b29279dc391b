#include "store/brought_in.hpp"

#include "model/nouns.hpp"
#include "store/query.hpp"

#include <fmt/format.h>

namespace tonebath::store {

namespace {

std::string key_of(const std::string& change_id) { return "brought_in:" + change_id; }

}  // namespace

void mark_brought_in(Log& log, const std::string& change_id) { log.set_setting(key_of(change_id), "yes"); }

bool is_brought_in(Log& log, const std::string& change_id) { return log.setting(key_of(change_id)).has_value(); }

KeptStepAside::KeptStepAside(Log& log) : log_(log) {
    std::vector<std::string> names;
    {
        Query query(log_, "SELECT name, tbl_name, sql FROM sqlite_master WHERE type = 'trigger' AND sql LIKE '%BEFORE DELETE%' ORDER BY name");
        while (query.next()) {
            if (is_kept_table(query.text(1))) {
                names.push_back(query.text(0));
                rules_.push_back(query.text(2));
            }
        }
    }
    for (const std::string& name : names) {
        run(log_, fmt::format("DROP TRIGGER {}", name));
    }
}

void KeptStepAside::put_back() {
    for (const std::string& rule : rules_) {
        run(log_, rule);
    }
    rules_.clear();
}

void KeptStepAside::forget(const std::string& record_id) { run(log_, "DELETE FROM find_entry WHERE record_id = ?1", {record_id}); }

}  // namespace tonebath::store
