// The emergency pages as data, and the studio's own numbers for them.
#pragma once

#include "base/result.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct EmergencyLine {
    std::string head;                // "Skin"
    std::vector<std::string> lines;  // one or two; {emergency_number}, {poison_line}, {address} stand for the studio's own
    std::vector<std::string> source; // ids of the list of safety sources; "M" = from memory
};

struct EmergencyText {
    std::string key;                 // "splash"
    std::string title;               // "Splash, swallowed, spilt"
    std::string first, first_note;   // what to do first, in the largest letters
    std::string second, second_note;
    std::vector<std::string> first_source, second_source;
    int least_minutes = 0;           // shown beside the time that the page has been open; 0 = no box
    std::vector<EmergencyLine> rows;
};

// Entered at first start, kept in the log; empty = "not filled in".
struct EmergencyNumbers {
    std::string emergency_number;
    std::string poison_line;
    std::string address;
};

// Strict, as checklists: a fault is refused with file and line. Order: gas, splash, fire.
[[nodiscard]] Result<std::vector<EmergencyText>> read_emergency_pages(const std::filesystem::path& checklists);
[[nodiscard]] EmergencyNumbers emergency_numbers(Studio& studio);
// The studio's own numbers put into a line; what is not filled in says so in words that still make sense.
[[nodiscard]] std::string filled(std::string line, const EmergencyNumbers& numbers);

}  // namespace tonebath::app
