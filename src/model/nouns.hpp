// Every noun of the log in one list, for what must hold of all of them: storing, joining, comparing with the tables.
#pragma once

#include "model/bath.hpp"
#include "model/desk.hpp"
#include "model/dip.hpp"
#include "model/lot.hpp"
#include "model/own_figure.hpp"
#include "model/person.hpp"
#include "model/piece.hpp"
#include "model/safety.hpp"
#include "model/stones.hpp"
#include "model/tone.hpp"
#include "model/vessel.hpp"
#include "model/work.hpp"

#include <string_view>
#include <tuple>

namespace tonebath {

// In an order in which each noun comes after those that it refers to.
using AllNouns = std::tuple<Person, Lot, LotWeighing, Vessel, Thermometer, ThermometerCheck, Metal, ToneScale, Tone,
                            Target, Order, Batch, Piece, Part, Stone, Strip, Room, ClassSession, Seat, Bath, TopUp,
                            Reading, Dip, Rinse, Judgement, Preparation, AfterWork, Bottle, Coating, Coat, CheckRun,
                            CheckAnswer, LocalRule, Disposal, Press, OwnFigure, FollowUp, StoneStay, Chemical,
                            Instrument, NearMiss, OwnLimit>;

// Calls `call` with one empty record of every noun.
template <class Call>
void for_each_noun(Call&& call) {
    std::apply([&call](const auto&... noun) { (call(noun), ...); }, AllNouns{});
}

// What people call the records of a table: "client_order" -> "order". The table's own name when it is not a noun's.
[[nodiscard]] std::string_view noun_word(std::string_view table);

// True for the tables whose records are never removed and never taken back, only withdrawn: checks and their answers,
// disposals, presses of the bench key, near misses.
[[nodiscard]] constexpr bool is_kept_table(std::string_view table) {
    return table == CheckRun::kTable || table == CheckAnswer::kTable || table == Disposal::kTable ||
           table == Press::kTable || table == NearMiss::kTable;
}

}  // namespace tonebath
