#include "app/views/judged.hpp"

#include "store/query.hpp"

#include <algorithm>

namespace tonebath::app {

std::unordered_map<std::string, Judged> judged_pieces(store::Log& log, const std::string& batch) {
    // In order of time, so that the last one stays. "Lighter than" and "gone over" stand half a tone beside the word.
    static const std::string kSql =
        "SELECT COALESCE(j.piece_id, part.piece_id), t.scale_id, t.position, t.word, j.sense, j.fraction, j.blotch, j.lab_l "
        "FROM judgement j JOIN tone t ON t.id = j.tone_id LEFT JOIN part ON part.id = j.part_id "
        "JOIN piece p ON p.id = COALESCE(j.piece_id, part.piece_id) "
        "WHERE j.moment <> 'after sealing' AND (?1 = '' OR p.batch_id = ?1) ORDER BY j.at_utc_ms, j.id";
    std::unordered_map<std::string, Judged> all;
    store::Query query(log, kSql, {batch});
    while (query.next()) {
        Judged judged{.scale = query.text(1), .word = query.text(3), .blotch = query.text(6)};
        judged.place = {.tone = static_cast<int>(query.integer(2)), .share = query.unknown(5) ? 0.5 : query.real(5)};
        const std::string sense = query.text(4);
        if (sense == "lighter than") {
            judged.place = {.tone = std::max(0, judged.place.tone - 1), .share = 0.5};
        } else if (sense == "gone over") {
            judged.place.tone += 1;
        }
        judged.measured = !query.unknown(7);
        judged.l = query.real(7);
        all[query.text(0)] = std::move(judged);
    }
    return all;
}

}  // namespace tonebath::app
