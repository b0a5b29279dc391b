// What the air is told for: the room as it is written down, and the sulfide in the bath that is in use.
#include "app/air.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "model/desk.hpp"
#include "model/rules/rule.hpp"
#include "store/bath_store.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

// More than a concentrated sulfide solution weighs; ours, no source: an upper bound where the sheet says percent by weight.
constexpr double kHeaviest_g_per_ml = 1.5;

science::Sulfide taken_as(const FinishKind& kind) {
    return kind.key == "sodium_sulfide"     ? science::Sulfide::na2s
           : kind.key == "ammonium_sulfide" ? science::Sulfide::nh4_2s
                                            : science::Sulfide::k2s;
}

// The strongest of the sheets that were read for this lot.
std::optional<Chemical> sheet_of(Studio& studio, const Lot& lot) {
    const auto sheets = store::list<Chemical>(studio.log(),
                                              "WHERE lot_id = ?1 AND read_utc_ms IS NOT NULL AND strength_percent IS NOT NULL "
                                              "ORDER BY strength_percent DESC, id LIMIT 1",
                                              {lot.id.text});
    return sheets.empty() ? std::nullopt : std::optional<Chemical>(sheets.front());
}

}  // namespace

void take_room(AirAsk& ask, const Room& room) {
    ask.room_m3 = room.volume_m3;
    ask.flow_m3_h = room.flow_m3_h;
    ask.flow_known = room.flow_known;
    ask.still_known = room.still_per_h.has_value();
    ask.still_per_h = room.still_per_h.value_or(ask.still_per_h);
    ask.mixing_known = room.mixing.has_value();
    ask.mixing = room.mixing.value_or(ask.mixing);
}

std::optional<BenchSulfide> sulfide_on_bench(Studio& studio) {
    for (const Bath& bath : store::baths_in_use(studio.log())) {
        const FinishKind& kind = studio.finish_kind(bath.finish_kind);
        if (!in_family(kind, "sulfide")) {
            continue;
        }
        BenchSulfide found{.bath = bath.number, .words = kind.name, .why_not = "strength not stated on the sheet"};
        const std::optional<Lot> lot = bath.lot_id ? store::find(studio.log(), *bath.lot_id) : std::nullopt;
        if (!lot || !bath.amount || lot->unit == AmountUnit::drops) {
            return found;
        }
        double amount = *bath.amount;
        for (const TopUp& top_up : store::top_ups_of(studio.log(), bath.id)) {
            amount += top_up.amount.value_or(0.0);
        }
        found.words = fmt::format("{} of {}, {}", rules::amount_words(amount, lot->unit), lot->number, kind.name);
        if (lot->form == LotForm::lump && lot->unit == AmountUnit::g) {
            found.grams = amount;
        } else if (const std::optional<Chemical> sheet = sheet_of(studio, *lot)) {
            double grams = amount;
            if (lot->unit == AmountUnit::ml) {
                grams *= kHeaviest_g_per_ml;
                found.reckoned.push_back({fmt::format("{} g a millilitre at most", rules::figure(kHeaviest_g_per_ml)), "assumed"});
            }
            found.grams = grams * *sheet->strength_percent / 100.0;
            found.reckoned.push_back({fmt::format("at most {} % by the sheet of {}", rules::figure(*sheet->strength_percent),
                                                  sheet->sheet_at ? date_text(*sheet->sheet_at) : sheet->name),
                                      "sheet"});
        } else {
            return found;
        }
        found.sulfide = taken_as(kind);
        found.why_not.clear();
        return found;
    }
    return std::nullopt;
}

}  // namespace tonebath::app
