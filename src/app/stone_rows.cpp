#include "app/stones.hpp"

#include "app/studio.hpp"
#include "science/coat_plan.hpp"
#include "store/query.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <limits>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <utility>

namespace tonebath::app {

namespace {

constexpr double kDay_s = 86400.0;
// Ours: a rinse shorter than this counts as none.
constexpr double kRinse_s = 10.0;

// Text columns of 36 letters as keys, looked up without a copy where there is one already.
struct TextHash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
};
template <class T>
using ByText = std::unordered_map<std::string, T, TextHash, std::equal_to<>>;

// Each table is read once, in the order it lies on disk, and held together here: with many thousand stones the log's own
// joins take several times as long.
class RowReader {
public:
    explicit RowReader(store::Log& log) : log_(log) {}

    std::vector<StoneRow> read() {
        stones();
        stays();
        pieces();
        parts();
        exposures();
        works();
        coats();
        looks();
        return std::move(rows_);
    }

private:
    static constexpr std::int64_t kNever = std::numeric_limits<std::int64_t>::max();

    // A stone on a piece: from `since` on, until it was taken off.
    struct Stay {
        std::uint32_t stone = 0;
        std::optional<std::int64_t> since_ms;  // nothing: since the piece was assembled
        std::int64_t until_ms = kNever;
    };
    struct OnPiece {
        std::vector<Stay> stays;
        std::vector<std::uint32_t> set_now;
    };
    struct PartOf {
        OnPiece* piece = nullptr;
        std::int64_t joined_ms = std::numeric_limits<std::int64_t>::min();
    };
    struct InBath {
        std::string finish;
        std::optional<double> start_c;
    };

    template <class T>
    static T* find(ByText<T>& all, std::string_view key) {
        const auto found = all.find(key);
        return found == all.end() ? nullptr : &found->second;
    }

    void stones() {
        store::Query query(log_, "SELECT id, number, kind, shape, size_mm, backing, source_lot, piece_id, set_utc_ms FROM stone "
                                 "ORDER BY length(number), number");
        while (query.next()) {
            StoneRow row;
            row.id.text = query.text(0);
            row.number = query.text(1);
            row.kind = query.text(2);
            row.shape = query.text(3);
            row.size_mm = query.maybe_real(4);
            row.backing = from_word<Backing>(query.text(5)).value_or(Backing::unknown);
            row.source_lot = query.text(6);
            const auto place = static_cast<std::uint32_t>(rows_.size());
            places_.emplace(row.id.text, place);
            if (!query.unknown(7)) {
                OnPiece& piece = pieces_[query.text(7)];
                piece.stays.push_back({.stone = place, .since_ms = maybe_ms(query, 8)});
                piece.set_now.push_back(place);
            }
            row.set_known = !query.unknown(8);
            rows_.push_back(std::move(row));
        }
        facts_.resize(rows_.size());
    }

    void stays() {
        store::Query query(log_, "SELECT stone_id, piece_id, set_utc_ms, off_utc_ms FROM stone_stay");
        while (query.next()) {
            if (const auto* stone = find(places_, query.text(0))) {
                pieces_[query.text(1)].stays.push_back({.stone = *stone, .since_ms = maybe_ms(query, 2), .until_ms = query.integer(3)});
            }
        }
    }

    void pieces() {
        store::Query query(log_, "SELECT p.id, p.number, o.number, p.assembled_utc_ms FROM piece p LEFT JOIN batch b ON b.id = p.batch_id "
                                 "LEFT JOIN client_order o ON o.id = COALESCE(p.order_id, b.order_id)");
        while (query.next()) {
            OnPiece* piece = find(pieces_, query.text(0));
            if (piece == nullptr) {
                continue;
            }
            const auto assembled_ms = maybe_ms(query, 3);
            for (Stay& stay : piece->stays) {
                stay.since_ms = stay.since_ms ? stay.since_ms : assembled_ms;
            }
            for (const std::uint32_t stone : piece->set_now) {
                rows_[stone].piece = query.text(1);
                rows_[stone].order = query.text(2);
                rows_[stone].set_known = rows_[stone].set_known || assembled_ms;
            }
        }
    }

    void parts() {
        store::Query query(log_, "SELECT id, piece_id, assembled_utc_ms FROM part");
        while (query.next()) {
            if (OnPiece* piece = find(pieces_, query.text(1))) {
                PartOf& part = parts_[query.text(0)];
                part.piece = piece;
                part.joined_ms = maybe_ms(query, 2).value_or(part.joined_ms);
            }
        }
    }

    // What was done to a piece, or to one of its parts from the day that was joined, while the stone was on it.
    template <class Do>
    void with_stones(store::Query& query, int piece_column, int part_column, std::int64_t at_ms, const Do& does) {
        const OnPiece* piece = nullptr;
        if (!query.unknown(piece_column)) {
            piece = find(pieces_, query.text(piece_column));
        } else if (!query.unknown(part_column)) {
            const PartOf* part = find(parts_, query.text(part_column));
            piece = part != nullptr && part->joined_ms <= at_ms ? part->piece : nullptr;
        }
        if (piece == nullptr) {
            return;
        }
        for (const Stay& stay : piece->stays) {
            if (stay.since_ms && *stay.since_ms <= at_ms && at_ms < stay.until_ms) {
                does(stay.stone);
            }
        }
    }

    void exposures() {
        ByText<InBath> baths;
        {
            store::Query query(log_, "SELECT id, finish_kind, start_temp_c FROM bath");
            while (query.next()) {
                baths[query.text(0)] = {.finish = query.text(1), .start_c = query.maybe_real(2)};
            }
        }
        std::unordered_set<std::string> rinsed;
        {
            store::Query query(log_, "SELECT dip_id FROM rinse WHERE length_s >= ?1", {kRinse_s});
            while (query.next()) {
                rinsed.insert(query.text(0));
            }
        }
        store::Query query(log_, "SELECT piece_id, part_id, bath_id, in_bath_s, temp_c, COALESCE(dropped_utc_ms, at_about_utc_ms), "
                                 "COALESCE(dropped_offset_min, at_about_offset_min, 0), id FROM dip WHERE strip_id IS NULL");
        while (query.next()) {
            if (query.unknown(5)) {
                continue;
            }
            const std::int64_t at_ms = query.integer(5);
            with_stones(query, 0, 1, at_ms, [&](std::uint32_t stone) {
                const InBath* bath = find(baths, query.text(2));
                if (bath == nullptr) {
                    return;
                }
                const Stamp at{at_ms, static_cast<int>(query.integer(6))};
                std::vector<StoneExposure>& all = rows_[stone].met;
                auto met = std::ranges::find(all, bath->finish, &StoneExposure::finish);
                if (met == all.end()) {
                    all.push_back({.finish = bath->finish, .first = at, .last = at});
                    met = all.end() - 1;
                }
                met->all_timed = met->all_timed && !query.unknown(3);
                met->seconds += query.real(3);
                const auto temp_c = query.unknown(4) ? bath->start_c : query.maybe_real(4);
                if (temp_c) {
                    met->hottest_c = std::max(*temp_c, met->hottest_c.value_or(*temp_c));
                }
                ++met->dips;
                met->short_rinses += rinsed.contains(query.text(7)) ? 0 : 1;
                met->first = std::min(met->first, at);
                met->last = std::max(met->last, at);
            });
        }
        for (std::size_t i = 0; i < rows_.size(); ++i) {
            std::vector<StoneExposure>& all = rows_[i].met;
            std::ranges::sort(all, {}, [](const StoneExposure& one) { return std::pair(one.first.utc_ms, std::string_view(one.finish)); });
            facts_[i].first_ms = all.empty() ? kNever : all.front().first.utc_ms;
        }
    }

    // After-work with the stone set; of a batch, that of every piece in it.
    void works() {
        store::Query query(log_, "SELECT COALESCE(w.piece_id, p.id), w.part_id, w.step, w.at_utc_ms, w.at_offset_min, w.used FROM after_work w "
                                 "LEFT JOIN piece p ON p.batch_id = w.batch_id WHERE w.step NOT IN ('rinsed', 'stop bath') ORDER BY w.at_utc_ms");
        while (query.next()) {
            const Stamp at{query.integer(3), static_cast<int>(query.integer(4))};
            with_stones(query, 0, 1, at.utc_ms, [&](std::uint32_t stone) {
                rows_[stone].worked.push_back({.step = from_word<AfterStep>(query.text(2)).value_or(AfterStep::dried), .at = at, .with = query.text(5)});
            });
        }
    }

    // Those brushed before its first bath; the last of them says which evening it was.
    void coats() {
        struct Evening {
            std::string number, bottle;
            std::optional<double> humidity_percent, margin_c;
        };
        ByText<std::string> bottles;
        {
            store::Query query(log_, "SELECT id, number FROM bottle");
            while (query.next()) {
                bottles[query.text(0)] = query.text(1);
            }
        }
        ByText<Evening> evenings;
        {
            store::Query query(log_, "SELECT id, number, bottle_id, room_c, humidity_percent FROM coating");
            while (query.next()) {
                Evening& evening = evenings[query.text(0)];
                evening = {.number = query.text(1), .bottle = query.text(2), .humidity_percent = query.maybe_real(4)};
                const auto room_c = query.maybe_real(3);
                if (room_c && evening.humidity_percent && *evening.humidity_percent > 0.0) {
                    evening.margin_c = science::room_air(*room_c, *evening.humidity_percent).margin_c;
                }
            }
        }
        static const Evening kNone;
        store::Query query(log_, "SELECT stone_id, bottle_id, coating_id, at_utc_ms FROM coat WHERE stone_id IS NOT NULL AND skipped = 0");
        while (query.next()) {
            const auto* place = find(places_, query.text(0));
            const std::int64_t at_ms = query.integer(3);
            if (place == nullptr || at_ms > facts_[*place].first_ms) {
                continue;
            }
            StoneRow& row = rows_[*place];
            ++row.coats;
            const Evening* found = query.unknown(2) ? nullptr : find(evenings, query.text(2));
            const Evening& evening = found == nullptr ? kNone : *found;
            const std::string* bottle = find(bottles, query.unknown(1) ? evening.bottle : query.text(1));
            if (bottle != nullptr && std::ranges::find(row.bottles, *bottle) == row.bottles.end()) {
                row.bottles.insert(std::ranges::upper_bound(row.bottles, *bottle), *bottle);
            }
            if (at_ms >= facts_[*place].coated_ms) {
                facts_[*place].coated_ms = at_ms;
                row.coating = evening.number;
                row.humidity_percent = evening.humidity_percent;
                row.margin_c = evening.margin_c;
            }
        }
    }

    // A look before the first bath says nothing about it. The first look that found harm decides.
    void looks() {
        store::Query query(log_,
                           "SELECT stone_id, seen, zone, at_utc_ms FROM follow_up WHERE seen <> 'not seen' "
                           "ORDER BY at_utc_ms, id");
        while (query.next()) {
            const auto* place = find(places_, query.text(0));
            const std::int64_t at_ms = query.integer(3);
            if (place == nullptr || at_ms < facts_[*place].first_ms || rows_[*place].harmed_days) {
                continue;
            }
            StoneRow& row = rows_[*place];
            const double days = static_cast<double>(at_ms - facts_[*place].first_ms) / 1000.0 / kDay_s;
            const SeenAs seen = from_word<SeenAs>(query.text(1)).value_or(SeenAs::not_seen);
            if (seen == SeenAs::unharmed) {
                row.unharmed_days = days;
            } else {
                row.harmed_days = days;
                row.harm = seen;
                row.zone = from_word<Zone>(query.text(2)).value_or(Zone::unknown);
            }
        }
    }

    static std::optional<std::int64_t> maybe_ms(const store::Query& query, int column) {
        return query.unknown(column) ? std::nullopt : std::optional(query.integer(column));
    }

    // Of each stone, beside its row.
    struct Facts {
        std::int64_t first_ms = kNever;                                     // its first bath
        std::int64_t coated_ms = std::numeric_limits<std::int64_t>::min();  // its last coat so far
    };

    store::Log& log_;
    std::vector<StoneRow> rows_;
    std::vector<Facts> facts_;
    ByText<std::uint32_t> places_;
    ByText<OnPiece> pieces_;
    ByText<PartOf> parts_;
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
