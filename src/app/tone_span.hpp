// From one tone to another, in words: "blue", "blue to gunmetal".
#pragma once

#include <string>

namespace tonebath::app {

[[nodiscard]] inline std::string tone_span(const std::string& from, const std::string& to) {
    return from == to ? from : from + " to " + to;
}

}  // namespace tonebath::app
