// SIGTERM, SIGINT and SIGHUP as a wish to close the window: nothing is cut off in mid-frame.
#pragma once

#include <atomic>
#include <functional>
#include <thread>

namespace tonebath::window {

// While it lives, the three signals are held back from this process and turned into asked(). Make it before any other
// thread: threads and programs started later inherit what is held back.
class StopSignals {
public:
    // wake is called from another thread, once, when the first signal comes.
    explicit StopSignals(std::function<void()> wake);
    ~StopSignals();
    StopSignals(const StopSignals&) = delete;
    StopSignals& operator=(const StopSignals&) = delete;

    [[nodiscard]] bool asked() const { return asked_; }

private:
    std::atomic<bool> asked_{false};
    int signals_ = -1;  // signalfd
    int end_ = -1;      // eventfd: the thread's own end
    std::thread thread_;
};

}  // namespace tonebath::window
