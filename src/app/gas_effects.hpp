// What hydrogen sulfide does, by parts per million: drawn beside a figure of the air, never compared with it as a limit.
#pragma once

#include "base/result.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

// One row of data/gas_effects.csv.
struct GasEffect {
    double low_ppm = 0.0;
    std::optional<double> high_ppm;
    std::string effect;
    std::string drawn;   // short words for the scale; empty = not drawn
    std::string bodies;  // "OSHA, ANSI"
    std::string source;  // id of the list of safety sources
    std::string trust;   // read, second-hand, memory, doubtful
    std::string source_words;  // what that source is, where the list of them was given
    // "100 to 150 ppm".
    [[nodiscard]] std::string ppm_words() const;
};
// Strict: a fault is refused with file and line.
[[nodiscard]] Result<std::vector<GasEffect>> read_gas_effects(const std::filesystem::path& file);

}  // namespace tonebath::app
