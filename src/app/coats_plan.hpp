// A coating evening planned: loop, waits, finish, and from when the stones may go into a bath; with what the room's air
// does to it. Typed as in the window and by command; nothing is written.
#pragma once

#include "app/evenings.hpp"
#include "base/quantity_text.hpp"
#include "base/result.hpp"
#include "science/coat_plan.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

// As typed; empty = not said. Times as "25 s", "10 min"; moments as "19:00", "1 Apr 09:00".
struct CoatsAsked {
    std::string stones, coats, each, bottle, wait, cure;
    std::string room, humidity;              // temperature; % relative, indoors
    std::string wet_um, solids, thinner;     // wet film of one coat; % of volume; parts to one of lacquer
    std::string stone;                       // its size, mm
    std::string start, by;                   // first stroke; when the stones are wanted in the bath, or "class C-9"
};

struct CoatsAnswer {
    science::CoatAsk ask;                    // with the wait and cure that are counted on
    science::CoatPlan plan;
    std::string bottle, bottle_words;        // "LQ-2"; "opened 18 weeks, wait 10 min, cure 12 h"
    std::string wait_words, cure_words;      // where they are from: "LQ-2's label", "typed", "usual: look on your bottle"
    std::optional<double> slower;            // the wait and the cure are stretched so many times: computed, doubtful
    std::string loop_words;                  // "36 in 15 min, so the loop is the wait"
    Stamp start, coats_end, bath_from;
    std::vector<Stamp> rounds;               // first stroke of each coat
    std::optional<Stamp> by, latest_start;
    std::string by_words;                    // "begin by 19:00 at the latest", "too late by 2 h"
    std::optional<science::RoomAir> air;
    std::vector<std::string> air_words;      // rules, doubts, own evenings
    bool damp = false;
    std::string film_words, cover_words;
    std::optional<double> dry_um;            // of one coat
};
// Usual times where neither a label nor she says: ours, three coats of 25 s, ten minutes, twelve hours.
// Refusals: those of the fields, "coating.no_stones", "coating.humidity", "room.temp.looks_fahrenheit",
// "coating.cure_short" (a question: `kept` takes it).
[[nodiscard]] Result<CoatsAnswer> coats_plan(Studio& studio, const CoatsAsked& asked, std::span<const EveningRecord> evenings, bool kept = false);

// What is said of damp and cold, by her own evenings where they tell, else as published; nothing where the air is good.
struct RoomSaid {
    std::vector<std::string> words;
    bool damp = false;                       // one of the rules against clouding is not met
    std::string own_damp;                    // of `words`, what her own evenings as damp say of it
    bool damp_went_well = false;             // by those
    std::optional<double> own_wait_s;        // of her own evenings as cold, which went well
    std::optional<double> slower;            // else: computed, doubtful
};
// `kind` of lacquer, empty = any. A wait that was typed is not replaced.
[[nodiscard]] RoomSaid room_said(std::optional<Celsius> room, std::optional<double> humidity_percent, std::string_view kind, std::span<const EveningRecord> evenings, const UnitChoice& units,
                                 bool wait_typed = false);
// The same before a first stroke, with the times of that evening said already. Her evenings are read only where the air is
// damp or cold.
[[nodiscard]] RoomSaid room_said_now(Studio& studio, std::optional<Celsius> room, std::optional<double> humidity_percent, std::string_view kind);

// % RH that a person typed: above 0, up to 100. Refusal "coating.humidity".
[[nodiscard]] std::optional<Refusal> humidity_refusal(std::string_view field, std::string_view typed, double percent);

}  // namespace tonebath::app
