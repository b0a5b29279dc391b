#include "window/shell/stop_signals.hpp"

#include "base/check.hpp"

#include <poll.h>
#include <pthread.h>
#include <signal.h>
#include <sys/eventfd.h>
#include <sys/signalfd.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdint>

namespace tonebath::window {
namespace {

sigset_t stop_set() {
    sigset_t set;
    sigemptyset(&set);
    sigaddset(&set, SIGTERM);
    sigaddset(&set, SIGINT);
    sigaddset(&set, SIGHUP);
    return set;
}

}  // namespace

StopSignals::StopSignals(std::function<void()> wake) {
    const sigset_t set = stop_set();
    pthread_sigmask(SIG_BLOCK, &set, nullptr);
    signals_ = signalfd(-1, &set, SFD_CLOEXEC);
    end_ = eventfd(0, EFD_CLOEXEC);
    TB_CHECK(signals_ >= 0 && end_ >= 0);
    thread_ = std::thread([this, wake = std::move(wake)] {
        std::array<pollfd, 2> ends = {pollfd{signals_, POLLIN, 0}, pollfd{end_, POLLIN, 0}};
        while (poll(ends.data(), ends.size(), -1) < 0 && errno == EINTR) {
        }
        if ((ends[0].revents & POLLIN) != 0) {
            asked_ = true;
            wake();
        }
    });
}

StopSignals::~StopSignals() {
    const std::uint64_t one = 1;
    const bool told = write(end_, &one, sizeof one) == static_cast<ssize_t>(sizeof one);
    TB_CHECK(told);
    thread_.join();
    // A signal that is still waiting has had its wish: take it away before letting signals through again.
    signalfd_siginfo info;
    pollfd rest{signals_, POLLIN, 0};
    while (poll(&rest, 1, 0) > 0 && read(signals_, &info, sizeof info) > 0) {
    }
    close(signals_);
    close(end_);
    const sigset_t set = stop_set();
    pthread_sigmask(SIG_UNBLOCK, &set, nullptr);
}

}  // namespace tonebath::window
