// What is noted against stones, by kind (data/stones.csv), and which line fits a stone of the log.
#pragma once

#include "base/result.hpp"
#include "model/piece.hpp"

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

struct StoneNote {
    std::string kind, family;
    bool porous = false;
    std::map<std::string, std::string> against;  // heat, acids, alkalis_sulfides, solvents, ultrasonic, tumbling -> avoid, caution, unknown …
    std::string backing_note;
    std::string source;
};

// Refusal "data.bad_file" with the line.
[[nodiscard]] Result<std::vector<StoneNote>> read_stone_notes(const std::filesystem::path& file);
// By its backing, or by its kind where that says so: "foil crystal".
[[nodiscard]] bool foil_backed(std::string_view kind, Backing backing);
// Its kind by the words it was given; a foil or film back, a coat or a glued stack by its backing first. nullopt: not in
// the list, so nothing is known.
[[nodiscard]] std::optional<StoneNote> note_for(const std::vector<StoneNote>& notes, const Stone& stone);

}  // namespace tonebath::app
