// Tonebath with a window: the pages in the shell.
#pragma once

#include "base/places.hpp"
#include "window/shell/start_options.hpp"

namespace tonebath::window {

// Runs until the window is closed. Exit codes: 0 done, 1 refused, 2 an option was not understood, 3 no display or no
// data.
[[nodiscard]] int open_window(const StartOptions& options, const Places& places);

}  // namespace tonebath::window
