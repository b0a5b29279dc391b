#include "store/window_lock.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>
#include <utility>

namespace tonebath::store {

Result<WindowLock> WindowLock::acquire(const std::filesystem::path& log_file) {
    std::error_code failed;
    std::filesystem::path beside = std::filesystem::weakly_canonical(log_file, failed);
    if (failed) {
        beside = log_file;
    }
    beside += ".window";
    // Closed on exec, so that a program started by the window does not hold on to it.
    const int descriptor = ::open(beside.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
    if (descriptor < 0) {
        return Refusal{.code = "window.no_lock",
                       .field = "log",
                       .value = log_file.string(),
                       .message = "The file " + beside.string() + " cannot be made (" +
                                  std::generic_category().message(errno) + "), so this window only reads.",
                       .remedy = "Check who may write to the folder.",
                       .answers = {}};
    }
    if (flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
        const int reason = errno;
        close(descriptor);
        return Refusal{.code = reason == EWOULDBLOCK ? "window.second" : "window.no_lock",
                       .field = "log",
                       .value = log_file.string(),
                       .message = reason == EWOULDBLOCK
                                      ? "Another window has this log open, so this one only reads."
                                      : "The log cannot be kept to one window here (" +
                                            std::generic_category().message(reason) + "), so this window only reads.",
                       .remedy = reason == EWOULDBLOCK
                                     ? "Write in the other window, or close it and open this one again."
                                     : "Keep the log on a disk of this machine.",
                       .answers = {}};
    }
    return WindowLock(descriptor);
}

WindowLock::~WindowLock() {
    if (descriptor_ >= 0) {
        close(descriptor_);
    }
}

WindowLock::WindowLock(WindowLock&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}

WindowLock& WindowLock::operator=(WindowLock&& other) noexcept {
    std::swap(descriptor_, other.descriptor_);
    return *this;
}

}  // namespace tonebath::store
