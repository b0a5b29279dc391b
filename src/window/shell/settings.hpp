// How the window looks on this machine: kept in a small TOML file of the person's own, apart from the log.
#pragma once

#include "base/quantity_text.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace tonebath::window {

struct WindowSize {
    int width = 1280;  // pixels at scale 1
    int height = 800;
    friend bool operator==(const WindowSize&, const WindowSize&) = default;
};
inline constexpr WindowSize kSmallestWindow{640, 480};
inline constexpr WindowSize kLargestWindow{16384, 16384};

struct WindowSettings {
    std::string theme = "slate";  // "slate", "chalk", "black and white"
    float scale = 1;              // the person's own, 0.5 to 4, on top of the display's
    WindowSize size;
    bool full_screen = false;
    bool reduced_motion = false;
    int sound = 2;               // 0 off, 1 quiet, 2 medium, 3 loud
    bool voice = false;          // lanes are spoken
    std::string page = "today";  // the last one shown
    UnitChoice units;
};
[[nodiscard]] bool is_theme_name(std::string_view name);

struct ReadSettings {
    WindowSettings settings;
    std::vector<std::string> messages;  // what was not understood, and what is used instead; for the log of messages
};

// A missing file gives the defaults. A value that is out of range or of the wrong kind gives its default and a message;
// so does a file that is not TOML. Nothing is thrown: settings never keep the window from opening.
[[nodiscard]] ReadSettings read_settings(const std::filesystem::path& file);
[[nodiscard]] std::string settings_text(const WindowSettings& settings);
// Makes the folder when needed; the file is the old one or the new one, never half of it. Throws FileError.
void write_settings(const std::filesystem::path& file, const WindowSettings& settings);

}  // namespace tonebath::window
