#include "store/bath_store.hpp"

#include "store/record.hpp"

namespace tonebath::store {

std::vector<Bath> baths_in_use(Log& log, std::size_t limit) {
    return list<Bath>(log, "WHERE ended_utc_ms IS NULL ORDER BY made_up_utc_ms DESC, id DESC LIMIT ?1",
                      {static_cast<std::int64_t>(limit)});
}

std::vector<Reading> readings_of(Log& log, const Id<Bath>& bath) {
    return list<Reading>(log, "WHERE bath_id = ?1 ORDER BY at_utc_ms, id", {bath.text});
}

std::vector<TopUp> top_ups_of(Log& log, const Id<Bath>& bath) {
    return list<TopUp>(log, "WHERE bath_id = ?1 ORDER BY at_utc_ms, id", {bath.text});
}

LotUse lot_use(Log& log, const Id<Lot>& lot) {
    const Snapshot one_moment(log);
    LotUse use;
    {
        Query baths(log, "SELECT total(amount), count(*), count(*) - count(amount) FROM bath WHERE lot_id = ?1",
                    {lot.text});
        if (baths.next()) {
            use.made_up = baths.real(0);
            use.baths = baths.integer(1);
            use.unknown_amounts = baths.integer(2);
        }
    }
    {
        // A top-up of water alone has no amount, and needs none.
        Query top_ups(
            log,
            "SELECT total(top_up.amount), count(*) - count(coalesce(top_up.amount, water_added_ml)) FROM top_up "
            "JOIN bath ON bath.id = bath_id WHERE lot_id = ?1",
            {lot.text});
        if (top_ups.next()) {
            use.topped_up = top_ups.real(0);
            use.unknown_amounts += top_ups.integer(1);
        }
    }
    {
        Query spoiled(log, "SELECT total(spoiled_amount) FROM lot_weighing WHERE lot_id = ?1", {lot.text});
        if (spoiled.next()) {
            use.spoiled = spoiled.real(0);
        }
    }
    std::vector<LotWeighing> weighed = list<LotWeighing>(
        log, "WHERE lot_id = ?1 AND left_amount IS NOT NULL ORDER BY at_utc_ms DESC, id DESC LIMIT 1", {lot.text});
    if (!weighed.empty()) {
        use.last_weighing = std::move(weighed.front());
    }
    return use;
}

}  // namespace tonebath::store
