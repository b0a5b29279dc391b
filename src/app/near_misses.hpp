// The book of near misses: stops that were raised, near misses, incidents. Nothing in it is removed or edited; the
// maker's comment is added to it, and what does not belong there is withdrawn and stays.
#pragma once

#include "model/desk.hpp"

#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct NearMissRow {
    NearMiss entry;
    std::string who;   // initials; empty = not known
    std::string bath;  // number; empty = none
    // "waits for your comment", "commented 14 Dec 2025", "withdrawn by MK".
    [[nodiscard]] std::string state() const;
    [[nodiscard]] bool waits() const { return entry.comment.empty() && entry.withdrawn_by.empty(); }
};
// Newest first.
[[nodiscard]] std::vector<NearMissRow> near_misses(Studio& studio);
// "N-4": one above the largest.
[[nodiscard]] std::string next_near_miss(Studio& studio);

}  // namespace tonebath::app
