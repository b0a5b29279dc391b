// What a class needs: by the seat from the last piece of that design, with what is typed besides, times the seats, and spare.
#pragma once

#include "base/result.hpp"

#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct KitAsk {
    std::string class_number;          // takes its seats in use, and its design from its title; empty = neither
    std::string design;                // over the class's
    int seats = 0;                     // over the class's; 0 = the class's
    double spare_percent = 10.0;       // of everything that can break or be lost, rounded up
    std::vector<std::string> items;    // besides, for a seat: "jump ring 6 mm: 2", "gloves"
};

struct KitLine {
    std::string item;
    double per_seat = 0.0;
    std::size_t total = 0;             // with spare, rounded up
    std::string from;                  // "piece G-024", "typed", "everybody"
};

struct Kit {
    std::string class_number, design;
    int seats = 0;
    double spare_percent = 0.0;
    std::vector<KitLine> lines;
    std::vector<std::string> not_known; // "no piece of this design is in the log"
};

// Refusals: "class.unknown", "kit.no_seats", "kit.bad_item", "kit.bad_spare".
[[nodiscard]] Result<Kit> kit_for(Studio& studio, const KitAsk& ask);
[[nodiscard]] std::string kit_text(const Kit& kit);

}  // namespace tonebath::app
