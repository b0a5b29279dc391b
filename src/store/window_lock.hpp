// One window writes to a log at a time. Commands run beside it in short changes and do not take this lock.
#pragma once

#include "base/result.hpp"

#include <filesystem>

namespace tonebath::store {

// Held from acquire to destruction. The kernel lets go of it when the process dies, however it dies.
class WindowLock {
public:
    // Locks "log.tonebath.window", a small file beside the log that stays there. The same log reached by another name
    // or a link is the same lock. Refusals: "window.second" (another window has it: open the log read_only and say so),
    // "window.no_lock" (no such file can be made there).
    [[nodiscard]] static Result<WindowLock> acquire(const std::filesystem::path& log_file);
    ~WindowLock();
    WindowLock(WindowLock&& other) noexcept;
    WindowLock& operator=(WindowLock&& other) noexcept;
    WindowLock(const WindowLock&) = delete;
    WindowLock& operator=(const WindowLock&) = delete;

private:
    explicit WindowLock(int descriptor) : descriptor_(descriptor) {}
    int descriptor_;
};

}  // namespace tonebath::store
