// Opens the window, runs its loop, and takes pictures: what stands between a display and an Application.
#pragma once

#include "base/clock.hpp"
#include "window/shell/application.hpp"
#include "window/shell/start_options.hpp"

#include <filesystem>

namespace tonebath::window {

struct ShellSetup {
    StartOptions options;
    std::filesystem::path themes_folder;  // data/themes
    std::filesystem::path settings_file;  // read at the start, written when something changed
};

// Exit codes: 0 closed as wished or picture saved; 1 picture or page refused; 3 no display, no OpenGL, no colours.
// What went wrong is said on stderr, one line each.
//
// The loop waits for input or for the application's next change; it draws three frames after any input, goes on while
// something moves, and leaves OpenGL alone while the picture is the same. F11 is the shell's own key: full screen.
[[nodiscard]] int run_window(Application& application, const ShellSetup& setup, const Clock& clock);

}  // namespace tonebath::window
