#include "app/stone_cells.hpp"
#include "app/stone_reader.hpp"
#include "app/stones.hpp"
#include "app/studio.hpp"
#include "science/coat_plan.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace tonebath::app {

namespace {

constexpr double kDay_s = 86400.0;

}  // namespace

std::vector<StoneRow> StoneReader::rows() {
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        const StoneFacts& stone = stones_[i];
        StoneRow& row = rows_[i];
        row.kind = kinds_.text(stone.kind);
        row.backing = stone.backing;
        row.set_known = stone.set_known;
        row.coats = stone.coats;
        for (std::uint32_t at = stone.met; at != kNone; at = met_[at].next) {
            row.met.push_back(met_[at].all);
            row.met.back().finish = finishes_.text(met_[at].finish);
        }
        std::ranges::sort(row.met, {}, [](const StoneExposure& one) { return std::pair(one.first.utc_ms, std::string_view(one.finish)); });
        for (std::uint32_t at = stone.brushed; at != kNone; at = brushed_[at].next) {
            row.bottles.push_back(bottle_numbers_[brushed_[at].bottle]);
        }
        std::ranges::sort(row.bottles);
        if (stone.evening != kNone) {
            const Evening& evening = evenings_[stone.evening];
            row.coating = evening.number;
            row.humidity_percent = evening.humidity_percent;
            row.margin_c = evening.margin_c;
        }
        const auto days = [&stone](std::int64_t at_ms) { return static_cast<double>(at_ms - stone.first_ms) / 1000.0 / kDay_s; };
        row.harm = stone.harm;
        row.zone = stone.zone;
        row.harmed_days = stone.harmed_ms ? std::optional(days(*stone.harmed_ms)) : std::nullopt;
        row.unharmed_days = stone.unharmed_ms ? std::optional(days(*stone.unharmed_ms)) : std::nullopt;
    }
    return std::move(rows_);
}

std::vector<StoneCell> StoneReader::cells(const StoneFilter& filter) const {
    CellCounter counter(filter.finish);
    for (const StoneFacts& stone : stones_) {
        const std::string_view kind = kinds_.text(stone.kind);
        if ((!filter.kind.empty() && kind != filter.kind) || (filter.backing && stone.backing != *filter.backing) || (filter.coats && stone.coats != *filter.coats) ||
            (!filter.bottle.empty() && !stone.of_bottle)) {
            continue;
        }
        const CellCounter::Of of{.kind = kind, .backing = stone.backing, .coats = stone.coats, .seen = stone.harmed_ms || stone.unharmed_ms, .harmed = stone.harmed_ms.has_value()};
        for (std::uint32_t at = stone.met; at != kNone; at = met_[at].next) {
            counter.add(of, finishes_.text(met_[at].finish), band_of(&met_[at].all));
        }
        if (stone.met == kNone) {
            counter.add(of, {}, band_of(nullptr));
        }
    }
    return counter.cells();
}

bool StoneRow::damp() const {
    return (humidity_percent && *humidity_percent > science::kMostHumidity_percent) ||
           (margin_c && *margin_c < science::kLeastMargin_c);
}

std::vector<StoneRow> stone_rows(Studio& studio) {
    return StoneReader(studio.log(), Reads::all).rows();
}

std::vector<StoneCell> stone_cells(Studio& studio, const StoneFilter& filter) {
    return StoneReader(studio.log(), Reads::cells, filter.bottle).cells(filter);
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
