#include "app/stone_reader.hpp"

#include "science/coat_plan.hpp"
#include "store/scan.hpp"

#include <algorithm>
#include <unordered_map>
#include <utility>

namespace tonebath::app {

namespace {

// Ours: a rinse shorter than this counts as none.
constexpr double kRinse_s = 10.0;

}  // namespace

StoneReader::StoneReader(store::Log& log, Reads reads, std::string_view bottle) : log_(log), all_(reads == Reads::all), bottle_(bottle) {
    const store::Snapshot one_moment(log);
    stones();
    stays();
    pieces();
    parts();
    exposures();
    if (all_) {
        works();
    }
    coats();
    looks();
}

void StoneReader::stay_on(std::string_view piece, Stay stay) {
    const std::uint32_t place = pieces_.place_of(piece);
    if (place == first_stay_.size()) {
        first_stay_.push_back(kNone);
    }
    stay.next = std::exchange(first_stay_[place], static_cast<std::uint32_t>(stays_.size()));
    stays_.push_back(stay);
}
template <class Do>
void StoneReader::each_stay(std::uint32_t piece, const Do& does) {
    for (std::uint32_t at = first_stay_[piece]; at != kNone; at = stays_[at].next) {
        does(stays_[at]);
    }
}

void StoneReader::stones() {
    store::Scan row(log_, all_ ? "SELECT id, kind, backing, piece_id, set_utc_ms, number, shape, size_mm, source_lot FROM stone ORDER BY length(number), number"
                               : "SELECT id, kind, backing, piece_id, set_utc_ms FROM stone");
    while (row.next()) {
        const std::uint32_t place = ids_.place_of(row.text(0));
        const auto since_ms = row.maybe_integer(4);
        stones_.push_back({.kind = kinds_.place_of(row.text(1)), .backing = from_word<Backing>(row.text(2)).value_or(Backing::unknown), .set_known = since_ms.has_value()});
        if (!row.unknown(3)) {
            stay_on(row.text(3), {.stone = place, .now = true, .since_ms = since_ms});
        }
        if (all_) {
            StoneRow& made = rows_.emplace_back();
            made.id.text = row.text(0);
            made.number = row.text(5);
            made.shape = row.text(6);
            made.size_mm = row.maybe_real(7);
            made.source_lot = row.text(8);
        }
    }
}

void StoneReader::stays() {
    store::Scan row(log_, "SELECT stone_id, piece_id, set_utc_ms, off_utc_ms FROM stone_stay");
    while (row.next()) {
        if (const std::uint32_t stone = ids_.find(row.text(0)); stone != kNone) {
            stay_on(row.text(1), {.stone = stone, .since_ms = row.maybe_integer(2), .until_ms = row.integer(3)});
        }
    }
}

// Names, and since when a stone is on its piece where the stone itself does not say.
void StoneReader::pieces() {
    if (!all_ && std::ranges::all_of(stays_, [](const Stay& stay) { return stay.since_ms.has_value(); })) {
        return;
    }
    store::Scan row(log_, "SELECT p.id, p.assembled_utc_ms, p.number, o.number FROM piece p LEFT JOIN batch b ON b.id = p.batch_id "
                          "LEFT JOIN client_order o ON o.id = COALESCE(p.order_id, b.order_id)");
    while (row.next()) {
        const std::uint32_t piece = pieces_.find(row.text(0));
        if (piece == kNone) {
            continue;
        }
        const auto assembled_ms = row.maybe_integer(1);
        each_stay(piece, [&](Stay& stay) {
            stay.since_ms = stay.since_ms ? stay.since_ms : assembled_ms;
            if (stay.now) {
                stones_[stay.stone].set_known = stay.since_ms.has_value();
            }
            if (stay.now && all_) {
                rows_[stay.stone].piece = row.text(2);
                rows_[stay.stone].order = row.text(3);
            }
        });
    }
}

void StoneReader::parts() {
    store::Scan row(log_, "SELECT id, piece_id, assembled_utc_ms FROM part");
    while (row.next()) {
        if (const std::uint32_t piece = pieces_.find(row.text(1)); piece != kNone) {
            part_ids_.place_of(row.text(0));
            parts_.push_back({.piece = piece, .joined_ms = row.maybe_integer(2).value_or(kBefore)});
        }
    }
}

// What was done to a piece (column 0), or to one of its parts (1) from the day that was joined, while the stone was on it.
template <class Do>
void StoneReader::with_stones(const store::Scan& row, std::int64_t at_ms, const Do& does) {
    std::uint32_t piece = kNone;
    if (!row.unknown(0)) {
        piece = pieces_.find(row.text(0));
    } else if (!row.unknown(1)) {
        const std::uint32_t part = part_ids_.find(row.text(1));
        piece = part != kNone && parts_[part].joined_ms <= at_ms ? parts_[part].piece : kNone;
    }
    if (piece == kNone) {
        return;
    }
    each_stay(piece, [&](const Stay& stay) {
        if (stay.since_ms && *stay.since_ms <= at_ms && at_ms < stay.until_ms) {
            does(stay.stone);
        }
    });
}

StoneReader::Met& StoneReader::met_of(std::uint32_t stone, std::uint32_t finish, const Stamp& at) {
    for (std::uint32_t place = stones_[stone].met; place != kNone; place = met_[place].next) {
        if (met_[place].finish == finish) {
            return met_[place];
        }
    }
    met_.push_back({.all = {.first = at, .last = at}, .finish = finish, .next = stones_[stone].met});
    stones_[stone].met = static_cast<std::uint32_t>(met_.size() - 1);
    return met_.back();
}

void StoneReader::exposures() {
    TextPlaces bath_ids, rinsed;
    std::vector<BathFacts> baths;
    for (store::Scan row(log_, "SELECT id, finish_kind, start_temp_c FROM bath"); row.next();) {
        bath_ids.place_of(row.text(0));
        baths.push_back({.finish = finishes_.place_of(row.text(1)), .start_c = row.maybe_real(2)});
    }
    if (all_) {
        for (store::Scan row(log_, "SELECT dip_id, length_s FROM rinse WHERE length_s IS NOT NULL"); row.next();) {
            if (row.real(1) >= kRinse_s) {
                rinsed.place_of(row.text(0));
            }
        }
    }
    store::Scan row(log_, "SELECT piece_id, part_id, bath_id, in_bath_s, temp_c, COALESCE(dropped_utc_ms, at_about_utc_ms), "
                          "COALESCE(dropped_offset_min, at_about_offset_min, 0), id FROM dip WHERE strip_id IS NULL");
    while (row.next()) {
        if (row.unknown(5)) {
            continue;
        }
        const std::int64_t at_ms = row.integer(5);
        with_stones(row, at_ms, [&](std::uint32_t stone) {
            const std::uint32_t bath = bath_ids.find(row.text(2));
            if (bath == kNone) {
                return;
            }
            stones_[stone].first_ms = std::min(stones_[stone].first_ms, at_ms);
            const Stamp at{at_ms, static_cast<int>(row.integer(6))};
            StoneExposure& met = met_of(stone, baths[bath].finish, at).all;
            met.all_timed = met.all_timed && !row.unknown(3);
            met.seconds += row.real(3);
            if (!all_) {
                return;
            }
            const auto temp_c = row.unknown(4) ? baths[bath].start_c : row.maybe_real(4);
            if (temp_c) {
                met.hottest_c = std::max(*temp_c, met.hottest_c.value_or(*temp_c));
            }
            ++met.dips;
            met.short_rinses += rinsed.find(row.text(7)) == kNone ? 1 : 0;
            met.first = std::min(met.first, at);
            met.last = std::max(met.last, at);
        });
    }
}

// After-work with the stone set; of a batch, that of every piece in it.
void StoneReader::works() {
    store::Scan row(log_, "SELECT COALESCE(w.piece_id, p.id), w.part_id, w.step, w.at_utc_ms, w.at_offset_min, w.used FROM after_work w "
                          "LEFT JOIN piece p ON p.batch_id = w.batch_id ORDER BY w.at_utc_ms");
    while (row.next()) {
        const Stamp at{row.integer(3), static_cast<int>(row.integer(4))};
        with_stones(row, at.utc_ms, [&](std::uint32_t stone) {
            rows_[stone].worked.push_back({.step = from_word<AfterStep>(row.text(2)).value_or(AfterStep::dried), .at = at, .with = std::string(row.text(5))});
        });
    }
}

// Those brushed before its first bath; the last of them says which evening it was.
void StoneReader::coats() {
    const bool named = all_ || !bottle_.empty();
    TextPlaces bottle_ids, evening_ids;
    if (named) {
        for (store::Scan row(log_, "SELECT id, number FROM bottle"); row.next();) {
            bottle_ids.place_of(row.text(0));
            bottle_numbers_.emplace_back(row.text(1));
        }
        for (store::Scan row(log_, "SELECT id, number, bottle_id, room_c, humidity_percent FROM coating"); row.next();) {
            evening_ids.place_of(row.text(0));
            Evening& evening = evenings_.emplace_back();
            evening = {.number = std::string(row.text(1)), .bottle = row.unknown(2) ? kNone : bottle_ids.find(row.text(2)), .humidity_percent = row.maybe_real(4)};
            const auto room_c = row.maybe_real(3);
            if (room_c && evening.humidity_percent && *evening.humidity_percent > 0.0) {
                evening.margin_c = science::room_air(*room_c, *evening.humidity_percent).margin_c;
            }
        }
    }
    store::Scan row(log_, "SELECT stone_id, at_utc_ms, bottle_id, coating_id FROM coat WHERE stone_id IS NOT NULL AND skipped = 0");
    while (row.next()) {
        const std::uint32_t place = ids_.find(row.text(0));
        const std::int64_t at_ms = row.integer(1);
        if (place == kNone || at_ms > stones_[place].first_ms) {
            continue;
        }
        StoneFacts& stone = stones_[place];
        ++stone.coats;
        if (!named) {
            continue;
        }
        const std::uint32_t evening = row.unknown(3) ? kNone : evening_ids.find(row.text(3));
        const std::uint32_t of_evening = evening == kNone ? kNone : evenings_[evening].bottle;
        const std::uint32_t bottle = row.unknown(2) ? of_evening : bottle_ids.find(row.text(2));
        if (bottle != kNone) {
            stone.of_bottle = stone.of_bottle || bottle_numbers_[bottle] == bottle_;
            brush(stone, bottle);
        }
        if (at_ms >= stone.coated_ms) {
            stone.coated_ms = at_ms;
            stone.evening = evening;
        }
    }
}

void StoneReader::brush(StoneFacts& stone, std::uint32_t bottle) {
    for (std::uint32_t at = stone.brushed; at != kNone; at = brushed_[at].next) {
        if (brushed_[at].bottle == bottle) {
            return;
        }
    }
    brushed_.push_back({.bottle = bottle, .next = std::exchange(stone.brushed, static_cast<std::uint32_t>(brushed_.size()))});
}

// A look before the first bath says nothing about it. The first look that found harm decides; of two at one time, the one
// written first. What found it whole counts before that.
void StoneReader::looks() {
    struct Whole {
        std::uint32_t stone = 0;
        std::int64_t at_ms = 0;
    };
    std::vector<Whole> whole;
    std::unordered_map<std::uint32_t, std::string> decided;  // by stone: the look that found harm
    store::Scan row(log_, "SELECT stone_id, at_utc_ms, seen, zone, id FROM follow_up WHERE seen <> 'not seen'");
    while (row.next()) {
        const std::uint32_t place = ids_.find(row.text(0));
        const std::int64_t at_ms = row.integer(1);
        if (place == kNone || at_ms < stones_[place].first_ms) {
            continue;
        }
        const SeenAs seen = from_word<SeenAs>(row.text(2)).value_or(SeenAs::not_seen);
        if (seen == SeenAs::unharmed) {
            whole.push_back({.stone = place, .at_ms = at_ms});
            continue;
        }
        StoneFacts& stone = stones_[place];
        if (!stone.harmed_ms || at_ms < *stone.harmed_ms || (at_ms == *stone.harmed_ms && row.text(4) < decided[place])) {
            stone.harmed_ms = at_ms;
            stone.harm = seen;
            stone.zone = from_word<Zone>(row.text(3)).value_or(Zone::unknown);
            decided[place] = row.text(4);
        }
    }
    for (const Whole& look : whole) {
        StoneFacts& stone = stones_[look.stone];
        if (!stone.harmed_ms || look.at_ms < *stone.harmed_ms) {
            stone.unharmed_ms = std::max(look.at_ms, stone.unharmed_ms.value_or(look.at_ms));
        }
    }
}

}  // namespace tonebath::app
