#include "app/views/pieces_view.hpp"

#include "app/studio.hpp"
#include "app/views/judged.hpp"
#include "base/text.hpp"
#include "science/spread.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

// Judged by eye, two readings of one piece differ by about a third of a tone (ours, until a repeat study is on record).
constexpr double kJudgingSd_tones = 0.3;

double axis(const ScalePlace& place) { return static_cast<double>(place.tone) + place.share; }

std::string tones(double steps) { return fixed_text(std::abs(steps), 1) + " of a tone"; }

// The tone aimed at by piece, else batch, else order.
std::optional<Target> target_of_batch(store::Log& log, const Batch& batch) {
    if (batch.target_id) {
        return store::find(log, *batch.target_id);
    }
    if (batch.order_id) {
        if (const auto order = store::find(log, *batch.order_id); order && order->target_id) {
            return store::find(log, *order->target_id);
        }
    }
    return std::nullopt;
}

std::string spread_words(const BatchSpread& spread) {
    if (spread.judged == 0) {
        return fmt::format("{}, none judged yet.", counted(spread.pieces, "piece", "pieces"));
    }
    if (!spread.middle) {
        return "One piece judged: a spread needs two.";
    }
    std::string words = fmt::format("{} of {} judged; half lie within {} of the middle", spread.judged, spread.pieces, tones(*spread.mad));
    if (spread.from_target) {
        words += std::abs(*spread.from_target) < 0.25
                     ? "; the middle is on the aim"
                     : fmt::format("; the middle is {} {} the aim", tones(*spread.from_target),
                                   *spread.from_target < 0.0 ? "lighter than" : "past");
    }
    words += spread.outliers.empty() ? "; none stands out." : "; stands out: " + joined(spread.outliers, ", ") + ".";
    return words;
}

}  // namespace

PieceList piece_list(Studio& studio, std::string_view find, std::size_t limit) {
    static const std::string kSql =
        "SELECT p.id, p.number, p.design, COALESCE(b.number, ''), p.rack, COALESCE(o.number, ''), "
        " (SELECT d.in_bath_s FROM dip d WHERE d.piece_id = p.id OR d.part_id IN (SELECT id FROM part WHERE piece_id = p.id) "
        "  ORDER BY d.dropped_utc_ms DESC LIMIT 1), "
        " (SELECT d.dropped_utc_ms FROM dip d WHERE d.piece_id = p.id OR d.part_id IN (SELECT id FROM part WHERE piece_id = p.id) "
        "  ORDER BY d.dropped_utc_ms DESC LIMIT 1), "
        " (SELECT a.used FROM after_work a WHERE a.piece_id = p.id AND a.step = 'sealed' ORDER BY a.at_utc_ms DESC LIMIT 1), "
        " EXISTS(SELECT 1 FROM after_work a WHERE a.piece_id = p.id), "
        " (SELECT group_concat(kind, ' ') FROM stone s WHERE s.piece_id = p.id), p.sold_utc_ms "
        "FROM piece p LEFT JOIN batch b ON b.id = p.batch_id LEFT JOIN client_order o ON o.id = p.order_id";
    const auto judged = judged_pieces(studio.log());
    const int offset = studio.now().offset_min;
    PieceList list;
    std::vector<std::string> wanted = split(folded(trimmed(find)), ' ');
    std::erase(wanted, "");
    store::Query query(studio.log(), kSql);
    while (query.next()) {
        ++list.in_log;
        PieceRow row{.id = {query.text(0)}, .number = query.text(1), .design = query.text(2), .batch = query.text(3)};
        if (!query.unknown(4)) {
            row.rack_dip = std::to_string(query.integer(4));
        }
        if (!query.unknown(6)) {
            row.rack_dip += (row.rack_dip.empty() ? "" : ", ") + text_of(Seconds::from_seconds(query.real(6)));
        }
        row.seal = !query.unknown(8) ? query.text(8) : query.integer(9) != 0 ? "none" : "";
        if (const auto found = judged.find(row.id.text); found != judged.end()) {
            row.tone = found->second.place;
            row.tone_word = found->second.word;
            row.scale = found->second.scale;
        }
        std::string by = row.number + " " + row.design + " batch " + row.batch + " " + query.text(5) + " " + row.tone_word + " " +
                         row.seal + " " + query.text(10);
        if (!query.unknown(7)) {
            const Stamp dipped{.utc_ms = query.integer(7), .offset_min = offset};
            by += " " + date_text(dipped) + " " + iso_text(dipped).substr(0, 10);
        }
        row.found_by = folded(by);
        const bool fits = std::all_of(wanted.begin(), wanted.end(), [&row](const std::string& word) {
            return row.found_by.find(word) != std::string::npos;
        });
        if (fits) {
            list.rows.push_back(std::move(row));
        }
    }
    std::sort(list.rows.begin(), list.rows.end(),
              [](const PieceRow& a, const PieceRow& b) { return natural_less(a.number, b.number); });
    if (list.rows.size() > limit) {
        list.rows.resize(limit);
    }
    return list;
}

std::optional<BatchSpread> batch_spread(Studio& studio, const Id<Batch>& batch_id) {
    store::Log& log = studio.log();
    const auto batch = store::find(log, batch_id);
    if (!batch) {
        return std::nullopt;
    }
    BatchSpread spread{.batch = batch->number};
    const auto pieces = store::list<Piece>(log, "WHERE batch_id = ?1 ORDER BY number, id", {batch_id.text});
    const auto judged = judged_pieces(log, batch_id.text);
    spread.pieces = pieces.size();

    // Only pieces judged on one scale can be compared: the scale of most.
    std::unordered_map<std::string, std::size_t> scales;
    for (const auto& [piece, one] : judged) {
        ++scales[one.scale];
    }
    std::size_t most = 0;
    for (const auto& [scale, count] : scales) {
        if (count > most || (count == most && scale < spread.scale)) {
            most = count;
            spread.scale = scale;
        }
    }
    std::vector<std::optional<double>> values;
    for (const Piece& piece : pieces) {
        const auto found = judged.find(piece.id.text);
        if (found == judged.end() || found->second.scale != spread.scale) {
            values.emplace_back();
            continue;
        }
        values.emplace_back(axis(found->second.place));
        spread.mates.push_back({.number = piece.number, .tone = found->second.place});
        ++spread.judged;
    }
    if (const auto measured = science::batch_spread(values, kJudgingSd_tones)) {
        spread.middle = measured->median;
        spread.mad = measured->mad;
        for (const std::size_t odd : measured->odd) {
            spread.outliers.push_back(pieces[odd].number);
        }
        for (BatchMate& mate : spread.mates) {
            mate.outlier = std::find(spread.outliers.begin(), spread.outliers.end(), mate.number) != spread.outliers.end();
        }
    }
    if (const auto target = target_of_batch(log, *batch); target && target->scale_id.text == spread.scale) {
        if (const auto tone = store::find(log, target->tone_id)) {
            spread.target_word = tone->word;
            if (spread.middle) {
                spread.from_target = *spread.middle - (tone->position + 0.5);
            }
        }
    }
    spread.words = spread_words(spread);
    return spread;
}

}  // namespace tonebath::app
