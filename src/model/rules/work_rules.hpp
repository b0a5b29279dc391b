// What is done to a surface before and after the bath; lots, thermometers, pieces and people.
#pragma once

#include "model/piece.hpp"
#include "model/rules/rule.hpp"
#include "model/vessel.hpp"
#include "model/work.hpp"

#include <span>

namespace tonebath::rules {

// Pickled with no rinse: "preparation.no_rinse". `pickled_typed` is the answer to "pickled".
[[nodiscard]] Question pickle_rinsed(const Typed& rinses_typed, Answer pickled, std::optional<int> rinses);
// Prepared after its dip: "preparation.after_dip".
[[nodiscard]] Question before_dip(const Typed& at_typed, const Stamp& at, std::optional<Stamp> first_dip);
// Relief before the dip ("after_work.before_dip"); a stop bath straight from the bath ("after_work.stop_before_rinse").
[[nodiscard]] Question after_dip(const Typed& step_typed, AfterStep step, const Stamp& at,
                                 std::optional<Stamp> last_dip);
[[nodiscard]] Question stop_bath_after_rinse(const Typed& step_typed, AfterStep step, bool rinsed_since_dip);
// Tumbling with foil set: "after_work.tumbles_foil". `stones` are those set on the piece by then.
[[nodiscard]] Question tumbling(const Typed& step_typed, AfterStep step, std::span<const Stone> stones);

// Opened before bought: "lot.opened_before_bought".
[[nodiscard]] Question lot_dates(const Typed& opened_typed, std::optional<Stamp> bought, std::optional<Stamp> opened);
// Left more than bought: "lot.left_more_than_bought".
[[nodiscard]] Question left_of_bought(const Typed& left_typed, double left, const Lot& lot);

// A boiling check without the height above the sea: "thermometer.no_altitude"; an offset over 10 °C:
// "thermometer.far_off".
[[nodiscard]] Question boiling_altitude(const Typed& altitude_typed, std::optional<double> altitude_m);
[[nodiscard]] Question offset_plausible(const Typed& reads_typed, Celsius reads, Celsius truth);

// A stone is on one piece at a time: "stone.on_another_piece".
[[nodiscard]] Question stone_on_one_piece(const Typed& piece_typed, std::string_view other_piece);
// Sold before it was assembled and the like: "dates.wrong_order".
[[nodiscard]] Question in_order(const Typed& later_typed, std::string_view earlier_words, std::optional<Stamp> earlier,
                                std::optional<Stamp> later);

}  // namespace tonebath::rules
