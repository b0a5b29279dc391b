// Her own coating evenings, read back: pace, waits that were really kept, room air, and what became of the stones. What
// replaces a published rule, and how a bottle thickens with age.
#pragma once

#include "app/stones.hpp"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tonebath::app {

struct EveningRecord {
    Id<Coating> id;
    std::string number, bottle, kind;   // of the coating, of its bottle, of its lacquer
    Stamp at;
    std::optional<double> bottle_days;  // since the bottle was opened
    std::optional<double> room_c, humidity_percent, margin_c;
    int stones = 0;
    std::optional<double> pace_s;       // middle time from one stone to the next within a coat
    std::optional<double> wait_s;       // middle time from a stone's coat to its next
    bool loop_was_wait = false;         // hands were never idle: it may have dried sooner
    StoneCount count;                   // of the stones whose last coat was brushed then
};
// Oldest first; those without a stroke are left out.
[[nodiscard]] std::vector<EveningRecord> evening_records(Studio& studio, std::span<const StoneRow> rows);

// Evenings in air like the one asked for, taken together.
struct OwnAir {
    std::vector<std::string> evenings;  // "1 (LQ-3)"
    StoneCount count;
    std::optional<double> wait_s;       // the longest wait kept
    // Enough were seen since to say anything (10, ours); and at most 1 in 10 of them harmed.
    [[nodiscard]] bool tells() const { return count.seen >= 10; }
    [[nodiscard]] bool went_well() const { return tells() && 10 * count.harmed <= count.seen; }
    [[nodiscard]] std::string words() const;  // "evening 1 (LQ-3): 18 min between coats; 9 of 24 harmed; between 21 and 57 in 100"
};
// As cold as this, as near to its dew point as this: within 1.5 °C (ours). `kind` of lacquer, empty = any.
[[nodiscard]] OwnAir evenings_as_cold(std::span<const EveningRecord> evenings, double room_c, std::string_view kind);
[[nodiscard]] OwnAir evenings_as_damp(std::span<const EveningRecord> evenings, double margin_c, std::string_view kind);

// One bottle: how long open, and how it brushes and dries beside the evenings of the others.
struct BottleTrend {
    Id<Bottle> id;
    std::string bottle, kind;
    std::optional<double> days_open;    // today, or when it was emptied
    bool emptied = false;
    std::optional<double> recoat_s, cure_s, solids_percent;  // of its label
    std::vector<EveningRecord> evenings;
    std::optional<double> pace_s, wait_s;               // middle of its evenings
    std::optional<double> others_pace_s, others_wait_s;
    bool slow = false;                  // by a fifth, and beyond what the others' evenings vary
    std::optional<double> pace_per_month_s, low_s, high_s;   // its own trend by age, with 95 % limits
    StoneCount count;
    std::vector<std::string> words;
};
[[nodiscard]] std::vector<BottleTrend> bottle_trends(Studio& studio, std::span<const EveningRecord> evenings);

// "10 min", "12 h", "17 h 30 min", "1:15".
[[nodiscard]] std::string span_words(double seconds);

}  // namespace tonebath::app
