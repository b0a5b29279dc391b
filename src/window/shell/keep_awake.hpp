// Keeps the machine from sleeping while a dip runs, where the system has the means: a helper program of systemd holds
// the lock and lets go of it when our end of its pipe closes, so that even a killed window leaves nothing behind.
#pragma once

#include <sys/types.h>

namespace tonebath::window {

class KeepAwake {
public:
    KeepAwake() = default;
    ~KeepAwake() { set(false); }
    KeepAwake(const KeepAwake&) = delete;
    KeepAwake& operator=(const KeepAwake&) = delete;

    // Does nothing when it is so already, or when the system has no such helper (tried once).
    void set(bool on);
    [[nodiscard]] bool on() const { return helper_ > 0; }

private:
    pid_t helper_ = 0;
    int pipe_ = -1;
    bool impossible_ = false;
};

}  // namespace tonebath::window
