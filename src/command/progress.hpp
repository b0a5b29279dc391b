// How far long work has come, on stderr where a person looks at it; Ctrl C stops it with nothing half done.
#pragma once

#include "app/exchange/watch.hpp"

#include <csignal>

namespace tonebath::command {

// One at a time. While it lives Ctrl C is heard instead of ending the program; a second Ctrl C ends it.
class Progress {
public:
    Progress();
    ~Progress();
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    [[nodiscard]] app::Watch watch();

private:
    struct sigaction before_ {};
    bool shown_ = false;
};

}  // namespace tonebath::command
