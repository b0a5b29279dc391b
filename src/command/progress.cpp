#include "command/progress.hpp"

#include <unistd.h>

#include <cstdio>
#include <string>

namespace tonebath::command {

namespace {

// A signal can be told to nothing else.
volatile std::sig_atomic_t stop_asked = 0;

void ask_to_stop(int) { stop_asked = 1; }

}  // namespace

Progress::Progress() {
    stop_asked = 0;
    struct sigaction ours {};
    ours.sa_handler = ask_to_stop;
    ours.sa_flags = static_cast<int>(SA_RESTART | SA_RESETHAND);
    ::sigaction(SIGINT, &ours, &before_);
}

Progress::~Progress() {
    ::sigaction(SIGINT, &before_, nullptr);
    if (shown_) {
        std::fputs("\r\033[K", stderr);
    }
}

app::Watch Progress::watch() {
    return [this, on_screen = ::isatty(STDERR_FILENO) == 1](std::string_view what, double share) {
        if (on_screen) {
            constexpr double kPercent = 100.0;
            std::fprintf(stderr, "\r\033[K%3d %%  %s", static_cast<int>(share * kPercent), std::string(what).c_str());
            shown_ = true;
        }
        return stop_asked == 0;
    };
}

}  // namespace tonebath::command
