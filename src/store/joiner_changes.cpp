#include "store/joiner.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::store {

// What the other bench took back goes here too, where nothing stands on it and nothing was changed in it later. Children
// before what they stand on.
void Joiner::removals() {
    std::map<std::string, std::vector<std::string>> gone;
    {
        Query query(theirs_, "SELECT DISTINCT table_name, record_id FROM change_row WHERE kind = 'delete'");
        while (query.next()) {
            gone[query.text(0)].push_back(query.text(1));
        }
    }
    for (auto table = tables_.rbegin(); table != tables_.rend(); ++table) {
        for (const std::string& id : gone[table->name]) {
            if (table->kept || !here(*table, id) || there(*table, id)) {
                continue;
            }
            const Touches theirs(theirs_, id, ours_, found_.clock.offset_ms);
            if (!theirs.taken_back() || theirs.last() < Touches::in_time(ours_, id).last() || stood_on(*table, id)) {
                continue;
            }
            for (JoinCount& count : found_.counts) {
                count.removed += count.table == table->name ? 1 : 0;
            }
            removed_.insert(id);
            if (writes_) {
                run(ours_, fmt::format("DELETE FROM \"{}\" WHERE id = ?1", table->name), {id});
            }
        }
    }
}

bool Joiner::stood_on(const JoinTable& table, const std::string& id) {
    if (needed_.count(id) != 0) {
        return true;
    }
    for (const JoinTable& child : tables_) {
        for (std::size_t i = 0; i < child.columns.size(); ++i) {
            if (child.refers_to[i] != table.name) {
                continue;
            }
            Query query(ours_, fmt::format("SELECT id FROM \"{}\" WHERE \"{}\" = ?1", child.name, child.columns[i]), {id});
            while (query.next()) {
                if (removed_.count(query.text(0)) == 0) {
                    return true;
                }
            }
        }
    }
    return false;
}

// Its change log, before our own: changes that were written elsewhere have numbers below 1, in their order.
void Joiner::changes() {
    std::vector<std::int64_t> new_ones;
    {
        Query query(theirs_, "SELECT seq, id FROM change ORDER BY seq");
        while (query.next()) {
            tell();
            if (!moment_of_change(ours_, query.text(1))) {
                new_ones.push_back(query.integer(0));
            }
        }
    }
    found_.changes_added = static_cast<std::int64_t>(new_ones.size());
    if (!writes_ || new_ones.empty()) {
        return;
    }
    std::int64_t seq = 0;
    {
        Query lowest(ours_, "SELECT min(coalesce(min(seq), 1), 1) FROM change");
        TB_CHECK(lowest.next());
        seq = lowest.integer(0) - found_.changes_added;
    }
    for (const std::int64_t theirs : new_ones) {
        copy_change(theirs, seq++);
    }
}

void Joiner::copy_change(std::int64_t their_seq, std::int64_t seq) {
    {
        Query change(theirs_, "SELECT id, at_utc_ms, at_offset_min, who_id, step, undoes FROM change WHERE seq = ?1", {their_seq});
        TB_CHECK(change.next());
        const auto one = same_.find(change.text(3));
        run(ours_, "INSERT INTO change (seq, id, at_utc_ms, at_offset_min, who_id, step, undoes) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            {seq, change.text(0), change.integer(1) + found_.clock.offset_ms, change.integer(2), one == same_.end() ? change.text(3) : one->second, change.text(4),
             change.unknown(5) ? Bound(nullptr) : Bound(change.text(5))});
    }
    Query rows(theirs_, "SELECT table_name, record_id, kind, before_json, after_json FROM change_row WHERE change_seq = ?1 ORDER BY id", {their_seq});
    while (rows.next()) {
        run(ours_, "INSERT INTO change_row (change_seq, table_name, record_id, kind, before_json, after_json) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            {seq, rows.text(0), rows.text(1), rows.text(2), rows.text(3), rows.text(4)});
    }
}

}  // namespace tonebath::store
