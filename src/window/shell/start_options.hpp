// What the window is asked for on the command line.
#pragma once

#include "base/result.hpp"
#include "window/shell/settings.hpp"

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace tonebath::window {

struct StartOptions {
    std::optional<std::filesystem::path> log;         // --log FILE; the usual place without it
    bool demo = false;                                // --demo: the demo studio, never the person's own log
    std::optional<std::string> page;                  // --page NAME
    std::optional<WindowSize> size;                   // --size WxH, pixels at scale 1
    std::optional<float> scale;                       // --scale S, 0.5 to 4: in place of the person's own
    std::optional<std::string> theme;                 // --theme T
    std::optional<std::filesystem::path> screenshot;  // --screenshot FILE.png: draw, save the picture, end
};

// Arguments without the program's name; "--size 1280x800" and "--size=1280x800" are the same.
[[nodiscard]] Result<StartOptions> parse_start(std::span<const char* const> arguments);
// The first argument that is neither an option of the window nor its value: a command. nullopt when there is none.
[[nodiscard]] std::optional<std::string_view> verb_of(std::span<const char* const> arguments);
// One option a line, for --help.
[[nodiscard]] std::string_view start_help();

}  // namespace tonebath::window
