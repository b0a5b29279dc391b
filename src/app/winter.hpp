// The winter air plan: what a colder room does to the dose. The window is open or the fan draws in winter air; the bath
// cools faster and to a lower rest, and each dip takes longer. Air comes first: never less of it to keep the bath warm.
#pragma once

#include "app/plan.hpp"
#include "model/tone.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

struct WinterAsk {
    PlanRequest first;               // bath, scale, tone, and when the first piece is dropped (not of a fresh bath)
    std::optional<double> room_c;    // the colder room; without it the last that was written down
    std::optional<double> fresh_c;   // a fresh bath like it, made up at this, in place of the bath in use
    double every_s = 300.0;          // between drops, 10 s to 2 h
    double session_s = 3600.0;       // from the first drop, up to 4 h
    double longest_s = 90.0;         // a piece that would hang longer waits for a reheat, 4 s to 1 h
};

// One drop of the session: the bath at its drop and how long it hangs, left alone since the first drop.
struct WinterDip {
    double at_s = 0.0;                       // since the first drop
    double before_c = 0.0, colder_c = 0.0;   // in the room as it was written down with the bath, and in the colder one
    std::optional<double> before_s, colder_s;  // unknown: not within a day
};

struct WinterTime {
    double out_s = 0.0, low_s = 0.0, high_s = 0.0;  // 80 of 100 for the aim
};

// One of the two rooms.
struct WinterRoom {
    double room_c = 0.0;                    // where the bath comes to rest
    double loss_c_per_min = 0.0;            // at the first drop
    WinterTime first;                       // the first drop
    std::optional<double> reheat_s;         // from when a piece would hang longer than longest_s; unknown: not within 4 h
    std::optional<std::size_t> pieces;      // to one heat, at that interval; unknown likewise
};

// What can be done about it, in order.
struct WinterHelp {
    std::string what;                       // "Heat through a water bath"
    std::string words;
    std::string from;                       // where its figure is from; empty = no figure
    std::optional<double> last_s;           // how long the last drop of the session hangs with it
    std::optional<double> reheat_s;
};

struct WinterPlan {
    std::string bath, tone;
    double start_c = 0.0;                   // of the bath at the first drop
    double k_per_min = 0.0;                 // its cooling constant
    std::optional<double> dose_s;           // s at 60 °C fresh; unknown of a fresh bath
    WinterRoom before, colder;
    bool room_before_known = false;
    std::string room_from;                  // "as typed", "written down with coating 11, 8 Dec 2025"
    std::vector<WinterDip> dips;
    std::vector<WinterHelp> order;
    std::vector<std::string> words;         // the plan in words
    std::vector<std::string> cautions;
    std::optional<Refusal> refusal;
};

// Refusals: those of plan(); "winter.room" (not a number, outside -20 to 50 °C), "winter.room_hotter" (than the bath),
// "winter.no_room" (none typed and none written down), "winter.every", "winter.session", "winter.longest", "winter.fresh".
[[nodiscard]] WinterPlan winter_plan(Studio& studio, const Learned& learned, const WinterAsk& ask);

// The room as typed, in °C; nothing when nothing was typed. Refused or asked about as any room temperature, and a bare
// number above 30 as °F ("room.temp.looks_fahrenheit").
[[nodiscard]] Result<std::optional<double>> winter_room(Studio& studio, std::string_view typed);

// A room temperature on record: with a bath or a coating, whichever is newest.
struct RoomRecord {
    double room_c = 0.0;
    Stamp at;
    std::string with;                       // "bath 46", "coating 11"
};
[[nodiscard]] std::optional<RoomRecord> last_room_temp(Studio& studio);

// What the plan is told for where nothing is chosen: the newest bath that has a dose, and the tone aimed at last, in it
// or before; else a tone two thirds along the first scale.
struct WinterAim {
    Bath bath;
    Tone tone;
};
[[nodiscard]] std::optional<WinterAim> winter_aim(Studio& studio);

}  // namespace tonebath::app
