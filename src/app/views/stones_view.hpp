// What the page Stones shows: foil backs by coats and bottle, every cell by its time in the bath, looks that are due, what a
// kind of stone allows, and where stones were harmed.
#pragma once

#include "app/stones.hpp"

#include <string>
#include <vector>

namespace tonebath::app {

struct StonesView {
    std::vector<StoneRow> rows;
    std::vector<std::string> find;     // words that each is found by
    std::size_t seen = 0;              // of them, at least once since their first bath
    BottleStudy study;
    std::vector<StoneCell> cells;      // those with a bath first
    [[nodiscard]] std::vector<const BottleFinding*> findings() const;  // of the study; bare stones last
    std::vector<StoneTrace> ask_back;  // of each finding
    std::vector<FollowUpDue> due;      // oldest first
    std::vector<DamageZone> damage;
    std::vector<std::string> kinds;    // of her stones, then those that notes are published for
    std::vector<std::pair<std::string, std::string>> finishes;  // key and name, the sulfides first
    // As her first stone of this kind has it.
    [[nodiscard]] Backing backing_of(std::string_view kind) const;
};
[[nodiscard]] StonesView stones_view(Studio& studio);

// "liver of sulfur, lump; foil back; 3 coats".
[[nodiscard]] std::string cell_words(Studio& studio, const StoneCell& cell);

}  // namespace tonebath::app
