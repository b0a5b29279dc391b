#include "model/rules/work_rules.hpp"

#include "base/quantity_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::rules {

Question pickle_rinsed(const Typed& rinses_typed, Answer pickled, std::optional<int> rinses) {
    if (rinses && (*rinses < 0 || *rinses > 20)) {
        return between(rinses_typed, *rinses, 0.0, 20.0, "rinses");
    }
    if (pickled != Answer::yes || !rinses || *rinses > 0) {
        return std::nullopt;
    }
    return ask(
        "preparation.no_rinse", rinses_typed,
        "pickled with no rinse: acid on the metal makes toxic gas in a sulfide bath.",
        "Rinse it twice and type how often, or keep it where that is what was done; it will not go into a sulfide bath "
        "so.",
        {"2"});
}

Question before_dip(const Typed& at_typed, const Stamp& at, std::optional<Stamp> first_dip) {
    if (!first_dip || at <= *first_dip) {
        return std::nullopt;
    }
    return ask("preparation.after_dip", at_typed,
               fmt::format("it was first dipped on {}, before that.", date_time_text(*first_dip)),
               "Type when it was prepared, or keep it where the surface was made new for another dip.");
}

Question after_dip(const Typed& step_typed, AfterStep step, const Stamp& at, std::optional<Stamp> last_dip) {
    if (last_dip && *last_dip <= at) {
        return std::nullopt;
    }
    const std::string_view done = word_of(step);
    return ask("after_work.before_dip", step_typed,
               last_dip ? fmt::format("its dip is dated {}, after that.", date_time_text(*last_dip))
                        : fmt::format("no dip is written down before it was {}.", done),
               "Write the dip down first, type another time, or keep it.");
}

Question stop_bath_after_rinse(const Typed& step_typed, AfterStep step, bool rinsed_since_dip) {
    if (step != AfterStep::stop_bath || rinsed_since_dip) {
        return std::nullopt;
    }
    return ask("after_work.stop_before_rinse", step_typed,
               "no rinse is written down since the dip, and a stop bath comes after a water rinse: bicarbonate does not "
               "destroy sulfide, and at its pH of 8.3 about 5 % of what is carried in is the gas (computed).",
               "Write the rinse down first, or keep it.");
}

Question tumbling(const Typed& step_typed, AfterStep step, std::span<const Stone> stones) {
    if (step != AfterStep::tumbled || stones.empty()) {
        return std::nullopt;
    }
    const auto touchy =
        std::find_if(stones.begin(), stones.end(), [](const Stone& stone) { return stone.backing != Backing::none; });
    if (touchy == stones.end()) {
        return std::nullopt;
    }
    return ask("after_work.tumbles_foil", step_typed,
               fmt::format("stone {} is set on it, backing: {}; tumbling rubs a backing off.", touchy->number,
                           word_of(touchy->backing)),
               "Brush it by hand instead, correct the day the stone was set, or keep it where it was tumbled.");
}

Question lot_dates(const Typed& opened_typed, std::optional<Stamp> bought, std::optional<Stamp> opened) {
    if (!bought || !opened || *opened >= *bought || date_text(*opened) == date_text(*bought)) {
        return std::nullopt;
    }
    return refuse("lot.opened_before_bought", opened_typed,
                  fmt::format("it was bought on {}, after that.", date_text(*bought)),
                  "Were the two days changed over? Type them again.");
}

Question left_of_bought(const Typed& left_typed, double left, const Lot& lot) {
    if (left < 0.0) {
        return above_zero(left_typed, left, "\"59 g\"");
    }
    // A kitchen scale may be a gram out.
    if (!lot.bought_amount || left <= *lot.bought_amount + 1.0) {
        return std::nullopt;
    }
    return ask("lot.left_more_than_bought", left_typed,
               fmt::format("{} was bought as {}.", lot.number, amount_words(*lot.bought_amount, lot.unit)),
               "Was the jar weighed with its glass? Type it again, or keep it.");
}

Question boiling_altitude(const Typed& altitude_typed, std::optional<double> altitude_m) {
    if (altitude_m) {
        return between(altitude_typed, *altitude_m, -400.0, 5000.0, "m");
    }
    return refuse("thermometer.no_altitude", altitude_typed,
                  "water boils cooler the higher the place: 100 °C by the sea, 95 °C at 1500 m.",
                  "Type the height above the sea in metres (0 by the sea), or use ice water.", {"0"});
}

Question offset_plausible(const Typed& reads_typed, Celsius reads, Celsius truth) {
    if (std::abs(reads.celsius() - truth.celsius()) <= 10.0) {
        return std::nullopt;
    }
    return ask(
        "thermometer.far_off", reads_typed,
        fmt::format("that is {} °C from {}.", figure(std::abs(reads.celsius() - truth.celsius())), text_of(truth)),
        "Stir, wait a minute and read it again, or keep it.");
}

Question stone_on_one_piece(const Typed& piece_typed, std::string_view other_piece) {
    if (other_piece.empty()) {
        return std::nullopt;
    }
    return ask("stone.on_another_piece", piece_typed, fmt::format("it is on piece {} now.", other_piece),
               "Choose another stone, or keep it where it was moved.");
}

Question in_order(const Typed& later_typed, std::string_view earlier_words, std::optional<Stamp> earlier,
                  std::optional<Stamp> later) {
    if (!earlier || !later || *later >= *earlier || date_text(*later) == date_text(*earlier)) {
        return std::nullopt;
    }
    return refuse("dates.wrong_order", later_typed,
                  fmt::format("{} on {}, after that.", earlier_words, date_text(*earlier)),
                  "Were the two days changed over? Type them again.");
}

}  // namespace tonebath::rules
