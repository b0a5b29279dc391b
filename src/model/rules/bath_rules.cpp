#include "model/rules/bath_rules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace tonebath::rules {

Question enough_in_lot(const Typed& amount_typed, double amount, const Lot& lot, const LotLeft& left) {
    if (lot.bought_amount && amount > *lot.bought_amount) {
        return refuse("lot.more_than_bought", amount_typed,
                      fmt::format("{} was bought as {}.", lot.number, amount_words(*lot.bought_amount, lot.unit)),
                      "Type the amount again, or correct what was bought.");
    }
    // A thousandth over is rounding, not a shortage.
    if (!left.amount || amount <= *left.amount * 1.001) {
        return std::nullopt;
    }
    return ask("lot.more_than_left", amount_typed,
               fmt::format("{} has {} left.", lot.number, amount_words(std::max(0.0, *left.amount), lot.unit)),
               "Type the amount again, weigh the jar, or keep it where the scale was wrong.");
}

Question lot_in_use(const Typed& lot_typed, const Lot& lot, const Stamp& made_up) {
    if (lot.bought_at && *lot.bought_at > made_up && date_text(*lot.bought_at) != date_text(made_up)) {
        return refuse("bath.lot_bought_later", lot_typed,
                      fmt::format("{} was bought on {}, after this bath.", lot.number, date_text(*lot.bought_at)),
                      "Choose another lot, or correct one of the two dates.");
    }
    if (lot.opened_at && *lot.opened_at > made_up && date_text(*lot.opened_at) != date_text(made_up)) {
        return refuse("bath.lot_opened_later", lot_typed,
                      fmt::format("{} was opened on {}, after this bath.", lot.number, date_text(*lot.opened_at)),
                      "Choose another lot, or correct one of the two dates.");
    }
    if (lot.retired_at && *lot.retired_at < made_up) {
        return ask("bath.lot_retired", lot_typed,
                   fmt::format("{} was put away for good on {}.", lot.number, date_text(*lot.retired_at)),
                   "Choose another lot, or keep it.");
    }
    return std::nullopt;
}

std::optional<double> usual_per_litre(const Lot& lot) {
    if (lot.usual_per_litre) {
        return lot.usual_per_litre;
    }
    // Reference strength of the dose: dry lump at 5 g/L.
    return lot.form == LotForm::lump && lot.unit == AmountUnit::g ? std::optional<double>(5.0) : std::nullopt;
}

std::optional<double> times_usual(double amount, Millilitres water, const Lot& lot) {
    const std::optional<double> usual = usual_per_litre(lot);
    if (!usual || *usual <= 0.0 || water.ml() <= 0.0) {
        return std::nullopt;
    }
    return amount / (water.ml() / 1000.0) / *usual;
}

Question strength(const Typed& amount_typed, double amount, Millilitres water, const Lot& lot) {
    const std::optional<double> times = times_usual(amount, water, lot);
    if (!times || *times < 5.0) {
        return std::nullopt;
    }
    const std::string tenth = fmt::format("{} {}", figure(amount / 10.0), word_of(lot.unit));
    return ask("bath.strength.tenths", amount_typed,
               fmt::format("{} in {} is {} times this lot's usual strength: were tenths meant?",
                           amount_words(amount, lot.unit), text_of(water), figure(*times)),
               fmt::format("Choose {}, type the amount or the water again, or keep it.", tenth), {tenth});
}

Question water(const Typed& typed, Millilitres water, const Vessel* vessel) {
    if (water.ml() < 20.0 || water.ml() > 20000.0) {
        return ask(
            "bath.water.odd", typed,
            water.ml() < 20.0 ? "that is less than two spoons of water." : "that is more than two buckets of water.",
            "Type it again with its unit, for example \"400 ml\", \"0.4 l\" or \"1 cup\", or keep it.");
    }
    if (vessel != nullptr && vessel->volume && water.ml() > vessel->volume->ml() * 1.02) {
        return ask("bath.vessel_too_small", typed,
                   fmt::format("vessel {} holds {}.", vessel->number, text_of(*vessel->volume)),
                   "Type the water again, choose another vessel, or keep it.");
    }
    return std::nullopt;
}

Question vessel_free(const Typed& typed, std::string_view other) {
    if (other.empty()) {
        return std::nullopt;
    }
    return ask("bath.vessel_in_use", typed, fmt::format("bath {} stands in it, and was not ended.", other),
               fmt::format("End bath {} first, choose another vessel, or keep it.", other));
}

Question additives(const Typed& typed, const FinishKind& kind, bool past_work) {
    if (!in_family(kind, "sulfide") && !in_family(kind, "ammonia")) {
        return std::nullopt;
    }
    static constexpr std::array<std::string_view, 9> kMakeGas{"acid",     "vinegar",      "pickle", "bleach",   "lemon",
                                                              "chlorine", "hypochlorite", "citric", "bisulfate"};
    static constexpr std::array<std::string_view, 3> kSoda{"bicarb", "baking soda", "baking powder"};
    const std::string words = folded(typed.text);
    for (const std::string_view word : kMakeGas) {
        if (words.find(word) == std::string::npos) {
            continue;
        }
        std::string message = fmt::format("{} must never meet {}: it makes toxic gas.", word, kind.name);
        if (past_work) {
            return ask("bath.additive_makes_gas", typed, std::move(message),
                       "Type it again, or keep it where that is what was done.");
        }
        return refuse("bath.additive_makes_gas", typed, std::move(message),
                      "Leave it out, and take it away from this bench.");
    }
    const bool soda = std::ranges::any_of(kSoda, [&](std::string_view word) { return words.find(word) != std::string::npos; });
    if (soda && in_family(kind, "sulfide")) {
        std::string message =
            "bicarbonate is a rinse for pieces after water and is never poured into a sulfide bath: it does not destroy "
            "sulfide, and at its pH of 8.3 about 5 % of it is the gas (computed).";
        return past_work ? ask("bath.bicarbonate", typed, std::move(message), "Type it again, or keep it where that is what was done.")
                         : refuse("bath.bicarbonate", typed, std::move(message), "Leave it out; rinse the pieces in water first, then in bicarbonate.");
    }
    return std::nullopt;
}

Question amount_fits_kind(const Typed& typed, const FinishKind& kind) {
    if (kind.unit) {
        return std::nullopt;
    }
    return refuse("bath.no_amount_in_kind", typed, fmt::format("{} takes no weighed amount of a lot.", kind.name),
                  kind.measure.empty() ? std::string("Leave it empty.")
                                       : fmt::format("Leave it empty; its measure is {}.", kind.measure),
                  {std::string(kBlank)});
}

Question measure_fits_kind(const Typed& typed, std::string_view measure, const FinishKind& kind) {
    if (kind.measure.empty()) {
        return refuse("finish.no_measure", typed, fmt::format("{} has no measure of its own.", kind.name),
                      "Leave it empty.", {std::string(kBlank)});
    }
    if (!measure.empty() && folded(measure) != folded(kind.measure)) {
        return refuse("finish.other_measure", typed, fmt::format("{} is measured in {}.", kind.name, kind.measure),
                      fmt::format("Type the {}, or leave it empty.", kind.measure), {kind.measure});
    }
    return std::nullopt;
}

Question dose_of_kind(const Typed& typed, const FinishKind& kind) {
    if (kind.dose) {
        return std::nullopt;
    }
    return refuse("dose.not_of_kind", typed, fmt::format("{} has no dose: how its tone grows is not known.", kind.name),
                  kind.measure.empty() ? std::string("Write down what was done and judge it by eye.")
                                       : fmt::format("Write down its {} and judge it by eye.", kind.measure));
}

Question bath_end(const Typed& typed, const Bath& bath, const Stamp& ended) {
    if (bath.ended_at) {
        return refuse("bath.ended_before", typed,
                      fmt::format("bath {} was ended on {}.", bath.number, date_time_text(*bath.ended_at)),
                      "Correct that record where the time is wrong.");
    }
    if (ended < bath.made_up_at) {
        return refuse("bath.end_before_make_up", typed,
                      fmt::format("bath {} was made up on {}.", bath.number, date_time_text(bath.made_up_at)),
                      "Type a later time, or correct the make-up.");
    }
    return std::nullopt;
}

Question kept_back(const Typed& typed, Millilitres kept_back, std::optional<Millilitres> in_bath) {
    if (kept_back.ml() < 0.0) {
        return above_zero(typed, kept_back.ml(), "\"400 ml\"");
    }
    if (!in_bath || kept_back.ml() <= in_bath->ml() * 1.02) {
        return std::nullopt;
    }
    return ask("bath.kept_more_than_made", typed, fmt::format("the bath held {}.", text_of(*in_bath)),
               "Type it again, or keep it where rinse water was poured in.");
}

LumpGuess lump_guess(Millimetres diameter) {
    const double cm = diameter.mm() / 10.0;
    const double ball_cm3 = std::numbers::pi / 6.0 * cm * cm * cm;
    const double low = 1.3 * ball_cm3;
    const double high = 2.2 * ball_cm3;
    return {.low_g = low, .middle_g = std::sqrt(low * high), .high_g = high};
}

std::string lump_words(const LumpGuess& guess) {
    const int digits = guess.high_g < 1.0 ? 2 : 1;
    return fmt::format("{} to {} g", fixed_text(guess.low_g, digits), fixed_text(guess.high_g, digits));
}

}  // namespace tonebath::rules
