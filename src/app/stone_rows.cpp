#include "app/stones.hpp"

#include "app/studio.hpp"
#include "science/coat_plan.hpp"
#include "store/query.hpp"

#include <algorithm>
#include <unordered_map>

namespace tonebath::app {

namespace {

constexpr double kDay_s = 86400.0;
// Ours: a rinse shorter than this counts as none.
constexpr double kRinse_s = 10.0;

class RowReader {
public:
    explicit RowReader(store::Log& log) : log_(log) {}

    std::vector<StoneRow> read() {
        stones();
        exposures();
        coats();
        looks();
        return std::move(rows_);
    }

private:
    StoneRow* row_of(const std::string& id) {
        const auto found = places_.find(id);
        return found == places_.end() ? nullptr : &rows_[found->second];
    }

    void stones() {
        store::Query query(log_,
                           "SELECT s.id, s.number, s.kind, s.shape, s.size_mm, s.backing, s.source_lot, p.number, "
                           "o.number, COALESCE(s.set_utc_ms, p.assembled_utc_ms) FROM stone s "
                           "LEFT JOIN piece p ON p.id = s.piece_id LEFT JOIN batch b ON b.id = p.batch_id "
                           "LEFT JOIN client_order o ON o.id = COALESCE(p.order_id, b.order_id) "
                           "ORDER BY length(s.number), s.number");
        while (query.next()) {
            StoneRow row;
            row.id.text = query.text(0);
            row.number = query.text(1);
            row.kind = query.text(2);
            row.shape = query.text(3);
            row.size_mm = query.maybe_real(4);
            row.backing = from_word<Backing>(query.text(5)).value_or(Backing::unknown);
            row.source_lot = query.text(6);
            row.piece = query.text(7);
            row.order = query.text(8);
            row.set_known = !query.unknown(9);
            places_[row.id.text] = rows_.size();
            rows_.push_back(std::move(row));
        }
    }

    // Dips while the stone was on the piece; those of a part only from the day that part was joined.
    void exposures() {
        static const std::string kSql =
            "WITH stay AS (SELECT s.id AS stone, s.piece_id AS piece, COALESCE(s.set_utc_ms, p.assembled_utc_ms) AS since, "
            "NULL AS until FROM stone s JOIN piece p ON p.id = s.piece_id "
            "UNION ALL SELECT t.stone_id, t.piece_id, COALESCE(t.set_utc_ms, p.assembled_utc_ms), t.off_utc_ms "
            "FROM stone_stay t JOIN piece p ON p.id = t.piece_id), "
            "wet AS (SELECT id, piece_id AS piece, NULL AS joined, bath_id, in_bath_s, temp_c, "
            "COALESCE(dropped_utc_ms, at_about_utc_ms) AS at, COALESCE(dropped_offset_min, at_about_offset_min, 0) AS off "
            "FROM dip WHERE piece_id IS NOT NULL "
            "UNION ALL SELECT d.id, a.piece_id, a.assembled_utc_ms, d.bath_id, d.in_bath_s, d.temp_c, "
            "COALESCE(d.dropped_utc_ms, d.at_about_utc_ms), COALESCE(d.dropped_offset_min, d.at_about_offset_min, 0) "
            "FROM dip d JOIN part a ON a.id = d.part_id) "
            "SELECT stay.stone, b.finish_kind, wet.in_bath_s, COALESCE(wet.temp_c, b.start_temp_c), wet.at, wet.off, "
            "(SELECT max(r.length_s) FROM rinse r WHERE r.dip_id = wet.id) "
            "FROM stay JOIN wet ON wet.piece = stay.piece JOIN bath b ON b.id = wet.bath_id "
            "WHERE wet.at >= stay.since AND (stay.until IS NULL OR wet.at < stay.until) "
            "AND (wet.joined IS NULL OR wet.joined <= wet.at)";
        store::Query query(log_, kSql);
        while (query.next()) {
            StoneRow* row = row_of(query.text(0));
            if (row == nullptr) {
                continue;
            }
            const std::string finish = query.text(1);
            auto met = std::find_if(row->met.begin(), row->met.end(),
                                    [&](const StoneExposure& one) { return one.finish == finish; });
            const Stamp at{query.integer(4), static_cast<int>(query.integer(5))};
            if (met == row->met.end()) {
                row->met.push_back({.finish = finish, .first = at, .last = at});
                met = row->met.end() - 1;
            }
            met->all_timed = met->all_timed && !query.unknown(2);
            met->seconds += query.real(2);
            if (const auto temp_c = query.maybe_real(3)) {
                met->hottest_c = std::max(*temp_c, met->hottest_c.value_or(*temp_c));
            }
            ++met->dips;
            met->short_rinses += query.unknown(6) || query.real(6) < kRinse_s ? 1 : 0;
            met->first = std::min(met->first, at);
            met->last = std::max(met->last, at);
        }
    }

    static std::optional<Stamp> first_bath(const StoneRow& row) {
        std::optional<Stamp> first;
        for (const StoneExposure& met : row.met) {
            first = first ? std::min(*first, met.first) : met.first;
        }
        return first;
    }

    void coats() {
        store::Query query(log_,
                           "SELECT c.stone_id, b.number, g.number, g.room_c, g.humidity_percent, c.at_utc_ms FROM coat c "
                           "LEFT JOIN coating g ON g.id = c.coating_id "
                           "LEFT JOIN bottle b ON b.id = COALESCE(c.bottle_id, g.bottle_id) "
                           "WHERE c.stone_id IS NOT NULL AND c.skipped = 0 ORDER BY c.at_utc_ms, c.id");
        while (query.next()) {
            StoneRow* row = row_of(query.text(0));
            const auto first = row != nullptr ? first_bath(*row) : std::nullopt;
            if (row == nullptr || (first && query.integer(5) > first->utc_ms)) {
                continue;
            }
            ++row->coats;
            const std::string bottle = query.text(1);
            if (!bottle.empty() && std::find(row->bottles.begin(), row->bottles.end(), bottle) == row->bottles.end()) {
                row->bottles.push_back(bottle);
            }
            row->coating = query.text(2);
            row->humidity_percent = query.maybe_real(4);
            const auto room_c = query.maybe_real(3);
            row->margin_c.reset();
            if (room_c && row->humidity_percent && *row->humidity_percent > 0.0) {
                row->margin_c = science::room_air(*room_c, *row->humidity_percent).margin_c;
            }
        }
    }

    // A look before the first bath says nothing about it. The first look that found harm decides.
    void looks() {
        store::Query query(log_,
                           "SELECT stone_id, seen, zone, at_utc_ms FROM follow_up WHERE seen <> 'not seen' "
                           "ORDER BY at_utc_ms, id");
        while (query.next()) {
            StoneRow* row = row_of(query.text(0));
            const auto first = row != nullptr ? first_bath(*row) : std::nullopt;
            if (!first || query.integer(3) < first->utc_ms || row->harmed_days) {
                continue;
            }
            const double days = static_cast<double>(query.integer(3) - first->utc_ms) / 1000.0 / kDay_s;
            const SeenAs seen = from_word<SeenAs>(query.text(1)).value_or(SeenAs::not_seen);
            if (seen == SeenAs::unharmed) {
                row->unharmed_days = days;
            } else {
                row->harmed_days = days;
                row->harm = seen;
                row->zone = from_word<Zone>(query.text(2)).value_or(Zone::unknown);
            }
        }
    }

    store::Log& log_;
    std::vector<StoneRow> rows_;
    std::unordered_map<std::string, std::size_t> places_;
};

}  // namespace

bool StoneRow::damp() const {
    return (humidity_percent && *humidity_percent > science::kMostHumidity_percent) ||
           (margin_c && *margin_c < science::kLeastMargin_c);
}

std::vector<StoneRow> stone_rows(Studio& studio) {
    return RowReader(studio.log()).read();
}

int band_of(const StoneExposure* met) {
    if (met == nullptr) {
        return 5;
    }
    if (!met->all_timed) {
        return 4;
    }
    return met->seconds <= 30.0 ? 0 : met->seconds <= 60.0 ? 1 : met->seconds <= 120.0 ? 2 : 3;
}

std::string_view band_words(int band) {
    static constexpr std::array<std::string_view, kBands> kWords{"up to 30 s",  "30 to 60 s", "60 to 120 s",
                                                                 "over 120 s", "not timed",  "no bath yet"};
    return kWords.at(static_cast<std::size_t>(band));
}

}  // namespace tonebath::app
