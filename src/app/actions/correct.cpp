#include "app/actions/correct.hpp"

#include "app/facts.hpp"
#include "app/resolve.hpp"
#include "app/usual.hpp"
#include "model/rules/dip_rules.hpp"
#include "model/rules/temp_rules.hpp"
#include "model/rules/tone_rules.hpp"
#include "model/rules/work_rules.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <array>

namespace tonebath::app {

std::optional<std::string> column_of(const std::vector<std::string>& columns, std::string_view typed) {
    std::string key = folded(trimmed(typed));
    std::replace(key.begin(), key.end(), '-', '_');
    std::replace(key.begin(), key.end(), ' ', '_');
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 5> kOther{{
        {"length", "in_bath"},
        {"with", "used"},
        {"amount", "bought_amount"},
        {"left", "left_amount"},
        {"usual", "usual_per_litre"},
    }};
    const auto matching = [&](std::string_view wanted) {
        std::vector<std::string> found;
        for (const std::string& column : columns) {
            if (column == wanted) {
                return std::vector<std::string>{column};
            }
            const std::string_view tail = std::string_view(column).substr(std::min(column.size(), wanted.size()));
            if (column.rfind(wanted, 0) == 0 &&
                (tail == "_ml" || tail == "_c" || tail == "_s" || tail == "_id" || tail == "_mm" || tail == "_cm2")) {
                found.push_back(column);
            }
        }
        return found;
    };
    std::vector<std::string> found = matching(key);
    for (const auto& [word, column] : kOther) {
        if (found.empty() && key == word) {
            found = matching(column);
        }
    }
    return found.size() == 1 ? std::optional<std::string>(found.front()) : std::nullopt;
}

bool is_own_column(std::string_view column) {
    static constexpr std::array<std::string_view, 9> kOwn{"id",        "made",      "dropped_boot_ms", "boot_id",
                                                          "clock_gap", "past_work", "blanked",         "position", "pin"};
    return std::find(kOwn.begin(), kOwn.end(), column) != kOwn.end();
}

AmountUnit unit_for(Studio&, const Lot& lot) {
    return lot.unit;
}

AmountUnit unit_for(Studio& studio, const LotWeighing& weighing) {
    const std::optional<Lot> lot = store::find(studio.log(), weighing.lot_id);
    return lot ? lot->unit : AmountUnit::g;
}

AmountUnit unit_for(Studio& studio, const Bath& bath) {
    const std::optional<Lot> lot = bath.lot_id ? store::find(studio.log(), *bath.lot_id) : std::nullopt;
    return lot ? lot->unit : studio.finish_kind(bath.finish_kind).unit.value_or(AmountUnit::g);
}

AmountUnit unit_for(Studio& studio, const TopUp& top_up) {
    const std::optional<Bath> bath = store::find(studio.log(), top_up.bath_id);
    return bath ? unit_for(studio, *bath) : AmountUnit::g;
}

rules::Question rule_for(Studio& studio, Bath& bath, std::string_view column, const rules::Typed& typed) {
    if (column == "start_temp_c" && bath.start_temp) {
        return rules::bath_temp(typed, *bath.start_temp, studio.units());
    }
    if (column == "room_temp_c" && bath.room_temp) {
        const rules::Question odd = rules::room_temp(typed, *bath.room_temp, studio.units());
        return odd ? odd : rules::room_against_bath(typed, bath.room_temp, bath.start_temp);
    }
    const std::optional<Lot> lot = bath.lot_id ? store::find(studio.log(), *bath.lot_id) : std::nullopt;
    if (column == "additives") {
        return rules::additives(typed, studio.finish_kind(bath.finish_kind), true);
    }
    if (column == "lot_id" && lot) {
        return rules::lot_in_use(typed, *lot, bath.made_up_at);
    }
    if (column == "ended" && bath.ended_at && *bath.ended_at < bath.made_up_at) {
        return rules::refuse("bath.end_before_make_up", typed, "that is before its make-up.",
                             "Type a later time, or correct the make-up.");
    }
    if (column == "water_ml" && bath.water) {
        const std::optional<Vessel> vessel = bath.vessel_id ? store::find(studio.log(), *bath.vessel_id) : std::nullopt;
        if (rules::Question odd = rules::water(typed, *bath.water, vessel ? &*vessel : nullptr)) {
            return odd;
        }
    }
    if (column == "amount" && bath.amount && lot) {
        // What this bath took before is in the jar again for the new amount.
        rules::LotLeft left = lot_left(studio, *lot);
        const std::optional<Bath> before = store::find(studio.log(), bath.id);
        if (left.amount && before && before->amount) {
            *left.amount += *before->amount;
        }
        if (rules::Question odd = rules::enough_in_lot(typed, *bath.amount, *lot, left)) {
            return odd;
        }
    }
    const bool strength = column == "amount" || column == "water_ml";
    return strength && bath.amount && bath.water && lot ? rules::strength(typed, *bath.amount, *bath.water, *lot)
                                                        : std::nullopt;
}

rules::Question rule_for(Studio& studio, Reading& reading, std::string_view column, const rules::Typed& typed) {
    const std::optional<Bath> bath = store::find(studio.log(), reading.bath_id);
    if (!bath) {
        return std::nullopt;
    }
    const std::optional<Vessel> vessel = bath->vessel_id ? store::find(studio.log(), *bath->vessel_id) : std::nullopt;
    const rules::ReadingFacts facts = reading_facts(studio, *bath, vessel ? &*vessel : nullptr, reading.at, reading.id);
    if (column == "at") {
        return rules::reading_moment(typed, reading.at, facts);
    }
    const std::optional<bool> reheated = reading.reheated ? std::optional<bool>(true) : std::nullopt;
    return column == "temp_c" ? rules::reading_temp(typed, reading.temp, reading.at, reheated, facts, studio.units())
                              : std::nullopt;
}

rules::Question rule_for(Studio&, Lot& lot, std::string_view column, const rules::Typed& typed) {
    return column == "bought" || column == "opened" ? rules::lot_dates(typed, lot.bought_at, lot.opened_at)
                                                    : std::nullopt;
}

rules::Question rule_for(Studio& studio, Dip& dip, std::string_view column, const rules::Typed& typed) {
    if (column == "temp_c" && dip.temp) {
        return rules::bath_temp(typed, *dip.temp, studio.units());
    }
    if (column == "in_bath_s" && dip.in_bath) {
        return rules::dip_length(typed, *dip.in_bath);
    }
    if (column == "dropped" || column == "out") {
        if (const std::optional<Bath> bath = store::find(studio.log(), dip.bath_id); bath && dip.dropped_at) {
            if (rules::Question odd = rules::dip_moment(typed, *bath, *dip.dropped_at)) {
                return odd;
            }
        }
        if (dip.dropped_at && dip.out_at) {
            if (rules::Question odd = rules::dip_times(typed, *dip.dropped_at, *dip.out_at)) {
                return odd;
            }
            dip.in_bath = Seconds::from_seconds(seconds_between(*dip.dropped_at, *dip.out_at));
        }
        // Typed by hand now: the stamp of the other clock no longer belongs to it.
        dip.dropped_boot_ms.reset();
        dip.boot_id.clear();
    }
    return std::nullopt;
}

rules::Question rule_for(Studio&, Rinse& rinse, std::string_view column, const rules::Typed& typed) {
    return column == "length_s" && rinse.length ? rules::rinse_length(typed, *rinse.length) : std::nullopt;
}

rules::Question rule_for(Studio&, Piece& piece, std::string_view column, const rules::Typed& typed) {
    if (column == "rack" && piece.rack) {
        return rules::between(typed, *piece.rack, 1, 99, "");
    }
    return column == "sold" || column == "assembled"
               ? rules::in_order(typed, "it was assembled", piece.assembled_at, piece.sold_at)
               : std::nullopt;
}

rules::Question rule_for(Studio& studio, Part& part, std::string_view column, const rules::Typed& typed) {
    if (column != "assembled" || !part.assembled_at) {
        return std::nullopt;
    }
    std::optional<Stamp> last;
    for (const Dip& dip : store::list<Dip>(studio.log(), "WHERE part_id = ?1", {part.id.text})) {
        const std::optional<Stamp> when = when_dipped(dip);
        last = when && (!last || *when > *last) ? when : last;
    }
    return rules::joined_before_dip(typed, part.name, *part.assembled_at, last);
}

rules::Question rule_for(Studio&, Preparation& done, std::string_view column, const rules::Typed& typed) {
    return column == "pickled" || column == "rinses_after_pickle"
               ? rules::pickle_rinsed(typed, done.pickled, done.rinses_after_pickle)
               : std::nullopt;
}

rules::Question rule_for(Studio& studio, Judgement& judgement, std::string_view column, const rules::Typed& typed) {
    if (column == "fraction" && judgement.fraction) {
        return rules::fraction(typed, *judgement.fraction);
    }
    if ((column == "sense" || column == "tone_id") && judgement.tone_id) {
        const std::optional<Tone> tone = store::find(studio.log(), *judgement.tone_id);
        const std::vector<Tone> all = tone ? tones_of(studio, tone->scale_id) : std::vector<Tone>{};
        return all.empty() ? std::nullopt : rules::sense_fits(typed, judgement.sense, *tone, all.back().position);
    }
    return std::nullopt;
}

rules::Question rule_for(Studio&, OwnFigure& figure, std::string_view, const rules::Typed& typed) {
    return own_figure_fits(figure, typed, typed);
}

}  // namespace tonebath::app
