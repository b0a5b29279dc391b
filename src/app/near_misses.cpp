#include "app/near_misses.hpp"

#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

std::string NearMissRow::state() const {
    if (!entry.withdrawn_by.empty()) {
        return "withdrawn by " + entry.withdrawn_by;
    }
    if (entry.comment.empty()) {
        return "waits for your comment";
    }
    return entry.commented_at ? "commented " + date_text(*entry.commented_at) : "commented";
}

std::vector<NearMissRow> near_misses(Studio& studio) {
    std::vector<NearMissRow> rows;
    for (NearMiss& entry : store::list<NearMiss>(studio.log(), "ORDER BY at_utc_ms DESC, id DESC")) {
        NearMissRow row{.entry = std::move(entry), .who = {}, .bath = {}};
        row.who = row.entry.who ? name_of(studio, *row.entry.who) : std::string();
        row.bath = row.entry.bath_id ? name_of(studio, *row.entry.bath_id) : std::string();
        rows.push_back(std::move(row));
    }
    return rows;
}

std::string next_near_miss(Studio& studio) {
    store::Query query(
        studio.log(),
        "SELECT COALESCE(max(CAST(substr(number, 3) AS INTEGER)), 0) FROM near_miss WHERE number GLOB 'N-[0-9]*'");
    return fmt::format("N-{}", query.next() ? query.integer(0) + 1 : 1);
}

}  // namespace tonebath::app
