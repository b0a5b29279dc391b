#include "store/unfilled_store.hpp"

#include "store/query.hpp"

#include <algorithm>
#include <array>

namespace tonebath::store {
namespace {

struct Question {
    Gap gap;
    const char* table;
    const char* sql;  // id, number, made_utc_ms, made_offset_min; ?1 since, ?2 limit
};

constexpr std::array<Question, 11> kQuestions{{
    {Gap::dip_tone, "dip",
     "SELECT dip.id, coalesce(strip.number, piece.number, whole.number || ' ' || part.name), dip.made_utc_ms, "
     "dip.made_offset_min FROM dip LEFT JOIN strip ON strip.id = dip.strip_id LEFT JOIN piece ON piece.id = "
     "dip.piece_id "
     "LEFT JOIN part ON part.id = dip.part_id LEFT JOIN piece AS whole ON whole.id = part.piece_id "
     "WHERE dip.made_utc_ms >= ?1 AND (dip.out_utc_ms IS NOT NULL OR dip.in_bath_s IS NOT NULL) "
     "AND NOT EXISTS (SELECT 1 FROM judgement AS j WHERE j.dip_id = dip.id) "
     "AND NOT EXISTS (SELECT 1 FROM judgement AS j WHERE j.strip_id = dip.strip_id AND j.at_utc_ms >= "
     "coalesce(dip.out_utc_ms, dip.at_about_utc_ms, 0)) "
     "AND NOT EXISTS (SELECT 1 FROM judgement AS j WHERE j.piece_id = dip.piece_id AND j.at_utc_ms >= "
     "coalesce(dip.out_utc_ms, dip.at_about_utc_ms, 0)) "
     "AND NOT EXISTS (SELECT 1 FROM judgement AS j WHERE j.part_id = dip.part_id AND j.at_utc_ms >= "
     "coalesce(dip.out_utc_ms, dip.at_about_utc_ms, 0)) "
     "ORDER BY dip.made_utc_ms DESC LIMIT ?2"},
    {Gap::dip_preparation, "dip",
     "SELECT dip.id, coalesce(strip.number, piece.number, whole.number || ' ' || part.name), dip.made_utc_ms, "
     "dip.made_offset_min FROM dip LEFT JOIN strip ON strip.id = dip.strip_id "
     "LEFT JOIN part ON part.id = dip.part_id LEFT JOIN piece ON piece.id = dip.piece_id "
     "LEFT JOIN piece AS whole ON whole.id = part.piece_id WHERE dip.made_utc_ms >= ?1 "
     "AND NOT EXISTS (SELECT 1 FROM preparation AS p WHERE p.strip_id = dip.strip_id) "
     "AND NOT EXISTS (SELECT 1 FROM preparation AS p WHERE p.part_id = dip.part_id) "
     "AND NOT EXISTS (SELECT 1 FROM preparation AS p WHERE p.piece_id = coalesce(dip.piece_id, part.piece_id)) "
     "AND NOT EXISTS (SELECT 1 FROM preparation AS p WHERE p.batch_id = coalesce(piece.batch_id, whole.batch_id)) "
     "ORDER BY dip.made_utc_ms DESC LIMIT ?2"},
    {Gap::dip_rinse, "dip",
     "SELECT dip.id, coalesce(strip.number, piece.number, whole.number || ' ' || part.name), dip.made_utc_ms, "
     "dip.made_offset_min FROM dip JOIN bath ON bath.id = dip.bath_id AND bath.lot_id IS NOT NULL "
     "LEFT JOIN strip ON strip.id = dip.strip_id LEFT JOIN piece ON piece.id = "
     "dip.piece_id "
     "LEFT JOIN part ON part.id = dip.part_id LEFT JOIN piece AS whole ON whole.id = part.piece_id "
     "WHERE dip.made_utc_ms >= ?1 AND dip.past_work = 0 AND dip.out_utc_ms IS NOT NULL "
     "AND NOT EXISTS (SELECT 1 FROM rinse WHERE rinse.dip_id = dip.id) "
     "ORDER BY dip.made_utc_ms DESC LIMIT ?2"},
    {Gap::dip_who, "dip",
     "SELECT dip.id, coalesce(strip.number, piece.number, whole.number || ' ' || part.name), dip.made_utc_ms, "
     "dip.made_offset_min FROM dip LEFT JOIN strip ON strip.id = dip.strip_id LEFT JOIN piece ON piece.id = "
     "dip.piece_id "
     "LEFT JOIN part ON part.id = dip.part_id LEFT JOIN piece AS whole ON whole.id = part.piece_id "
     "WHERE dip.made_utc_ms >= ?1 AND dip.past_work = 0 AND dip.who IS NULL "
     "ORDER BY dip.made_utc_ms DESC LIMIT ?2"},
    {Gap::dip_length, "dip",
     "SELECT dip.id, coalesce(strip.number, piece.number, whole.number || ' ' || part.name), dip.made_utc_ms, "
     "dip.made_offset_min FROM dip LEFT JOIN strip ON strip.id = dip.strip_id LEFT JOIN piece ON piece.id = "
     "dip.piece_id "
     "LEFT JOIN part ON part.id = dip.part_id LEFT JOIN piece AS whole ON whole.id = part.piece_id "
     "WHERE dip.made_utc_ms >= ?1 AND dip.past_work = 1 AND dip.in_bath_s IS NULL "
     "ORDER BY dip.made_utc_ms DESC LIMIT ?2"},
    {Gap::bath_amount, "bath",
     "SELECT id, number, made_utc_ms, made_offset_min FROM bath WHERE made_utc_ms >= ?1 AND lot_id IS NOT NULL "
     "AND amount IS NULL ORDER BY made_utc_ms DESC LIMIT ?2"},
    {Gap::bath_water, "bath",
     "SELECT id, number, made_utc_ms, made_offset_min FROM bath WHERE made_utc_ms >= ?1 AND lot_id IS NOT NULL "
     "AND water_ml IS NULL ORDER BY made_utc_ms DESC LIMIT ?2"},
    {Gap::bath_start_temp, "bath",
     "SELECT id, number, made_utc_ms, made_offset_min FROM bath WHERE made_utc_ms >= ?1 AND lot_id IS NOT NULL "
     "AND start_temp_c IS NULL AND NOT EXISTS (SELECT 1 FROM reading WHERE bath_id = bath.id) "
     "ORDER BY made_utc_ms DESC LIMIT ?2"},
    {Gap::bath_disposal, "bath",
     "SELECT id, number, made_utc_ms, made_offset_min FROM bath WHERE made_utc_ms >= ?1 AND ended_utc_ms IS NOT NULL "
     "AND NOT EXISTS (SELECT 1 FROM disposal WHERE bath_id = bath.id AND withdrawn_by = '') "
     "ORDER BY made_utc_ms DESC LIMIT ?2"},
    {Gap::part_metal, "part",
     "SELECT part.id, piece.number || ' ' || part.name, part.made_utc_ms, part.made_offset_min FROM part "
     "JOIN piece ON piece.id = part.piece_id WHERE part.metal_id IS NULL AND part.made_utc_ms >= ?1 "
     "ORDER BY part.made_utc_ms DESC LIMIT ?2"},
    {Gap::piece_parts, "piece",
     "SELECT id, number, made_utc_ms, made_offset_min FROM piece WHERE made_utc_ms >= ?1 "
     "AND EXISTS (SELECT 1 FROM dip WHERE dip.piece_id = piece.id) "
     "AND NOT EXISTS (SELECT 1 FROM part WHERE part.piece_id = piece.id) ORDER BY made_utc_ms DESC LIMIT ?2"},
}};

}  // namespace

std::vector<Unfilled> unfilled(Log& log, const Stamp& since, std::size_t limit) {
    const Snapshot one_moment(log);
    std::vector<Unfilled> found;
    for (const Question& question : kQuestions) {
        Query query(log, question.sql, {since.utc_ms, static_cast<std::int64_t>(limit)});
        while (query.next()) {
            found.push_back(Unfilled{question.gap, question.table, query.text(0), query.text(1), query.stamp(2)});
        }
    }
    std::stable_sort(found.begin(), found.end(),
                     [](const Unfilled& a, const Unfilled& b) { return a.made_at > b.made_at; });
    if (found.size() > limit) {
        found.resize(limit);
    }
    return found;
}

}  // namespace tonebath::store
