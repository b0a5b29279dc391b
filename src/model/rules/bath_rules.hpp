// Making up a bath: what is asked of the lot, the amount, the water, the vessel and the finish.
#pragma once

#include "model/bath.hpp"
#include "model/finish_kind.hpp"
#include "model/rules/rule.hpp"

namespace tonebath::rules {

// What the log says is left of a lot: bought less used, or the last weighing less used since. Unknown when neither was
// written down.
struct LotLeft {
    std::optional<double> amount;
    std::string words;  // "3.0 g left by the scale of 2 Mar 2026"
};

// "lot.more_than_bought" (refused), "lot.more_than_left" (asked; says how much is left).
[[nodiscard]] Question enough_in_lot(const Typed& amount_typed, double amount, const Lot& lot, const LotLeft& left);
// "bath.lot_opened_later" (refused; a lot whose opening is not known may be used), "bath.lot_bought_later" (refused), "bath.lot_retired" (asked).
[[nodiscard]] Question lot_in_use(const Typed& lot_typed, const Lot& lot, const Stamp& made_up);
// Grams per litre against the lot's usual: 5 times and more looks like tenths ("bath.strength.tenths").
// Our cut-off: the strongest published bath (75 g/L) is 15 times the usual lump bath, the usual ones within 1.6 times.
[[nodiscard]] Question strength(const Typed& amount_typed, double amount, Millilitres water, const Lot& lot);
// Amount per litre against the usual of the lot; unknown where no usual is known.
[[nodiscard]] std::optional<double> times_usual(double amount, Millilitres water, const Lot& lot);
// The lot's own usual, or 5 g/L for a dry lump.
[[nodiscard]] std::optional<double> usual_per_litre(const Lot& lot);
// 20 ml to 20 l ("bath.water.odd"), and no more than the vessel holds ("bath.vessel_too_small").
[[nodiscard]] Question water(const Typed& typed, Millilitres water, const Vessel* vessel);
// "bath.vessel_in_use": `other` is the number of the bath that stands in it.
[[nodiscard]] Question vessel_free(const Typed& typed, std::string_view other);
// Acid or bleach among the additives of a sulfide or ammonia bath: "bath.additive_makes_gas"; asked for past work only.
[[nodiscard]] Question additives(const Typed& typed, const FinishKind& kind, bool past_work);
// An amount of a lot for a finish that takes none: "bath.no_amount_in_kind" (lump grams in a fume).
[[nodiscard]] Question amount_fits_kind(const Typed& typed, const FinishKind& kind);
// The measure of another finish: "finish.no_measure", "finish.other_measure".
[[nodiscard]] Question measure_fits_kind(const Typed& typed, std::string_view measure, const FinishKind& kind);
// "dose.not_of_kind": a dose asked of a finish without one.
[[nodiscard]] Question dose_of_kind(const Typed& typed, const FinishKind& kind);
// Made up after an end, ended before its make-up, kept back more than there was.
[[nodiscard]] Question bath_end(const Typed& typed, const Bath& bath, const Stamp& ended);
[[nodiscard]] Question kept_back(const Typed& typed, Millilitres kept_back, std::optional<Millilitres> in_bath);

// A piece of dry lump by its diameter, taken as a ball of 1.3 to 2.2 g/cm3 (assumed: no density is published).
struct LumpGuess {
    double low_g = 0.0;
    double middle_g = 0.0;  // geometric mean of low and high
    double high_g = 0.0;
};
// `diameter` above 0.
[[nodiscard]] LumpGuess lump_guess(Millimetres diameter);
// "0.15 to 0.25 g".
[[nodiscard]] std::string lump_words(const LumpGuess& guess);

}  // namespace tonebath::rules
