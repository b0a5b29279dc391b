#include "store/dip_store.hpp"

#include "store/record.hpp"

namespace tonebath::store {

std::vector<Dip> running_dips(Log& log) {
    return list<Dip>(log,
                     "WHERE out_utc_ms IS NULL AND dropped_utc_ms IS NOT NULL AND in_bath_s IS NULL "
                     "ORDER BY lane, dropped_utc_ms, id");
}

std::vector<Dip> dips_of(Log& log, const Id<Bath>& bath) {
    return list<Dip>(log, "WHERE bath_id = ?1 ORDER BY coalesce(dropped_utc_ms, at_about_utc_ms), id", {bath.text});
}

std::vector<Dip> dips_of(Log& log, const Id<Strip>& strip) {
    return list<Dip>(log, "WHERE strip_id = ?1 ORDER BY coalesce(dropped_utc_ms, at_about_utc_ms), id", {strip.text});
}

std::vector<Dip> dips_of(Log& log, const Id<Piece>& piece) {
    return list<Dip>(log,
                     "WHERE piece_id = ?1 OR part_id IN (SELECT part.id FROM part WHERE part.piece_id = ?1) "
                     "ORDER BY coalesce(dropped_utc_ms, at_about_utc_ms), id",
                     {piece.text});
}

std::vector<Dip> dips_of(Log& log, const Id<Part>& part) {
    return list<Dip>(log, "WHERE part_id = ?1 ORDER BY coalesce(dropped_utc_ms, at_about_utc_ms), id", {part.text});
}

std::vector<Judgement> judgements_of(Log& log, const Id<Strip>& strip) {
    return list<Judgement>(log, "WHERE strip_id = ?1 ORDER BY at_utc_ms, id", {strip.text});
}

std::vector<Judgement> judgements_of(Log& log, const Id<Piece>& piece) {
    return list<Judgement>(log,
                           "WHERE piece_id = ?1 OR part_id IN (SELECT part.id FROM part WHERE part.piece_id = ?1) "
                           "ORDER BY at_utc_ms, id",
                           {piece.text});
}

std::vector<Judgement> judgements_of(Log& log, const Id<Part>& part) {
    return list<Judgement>(log, "WHERE part_id = ?1 ORDER BY at_utc_ms, id", {part.text});
}

}  // namespace tonebath::store
