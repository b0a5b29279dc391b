#include "window/shell/keep_awake.hpp"

#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>

namespace tonebath::window {

void KeepAwake::set(bool on) {
    if (on == this->on() || (on && impossible_)) {
        return;
    }
    if (!on) {
        close(pipe_);            // "cat" reads the end of its input and ends, and with it the helper
        kill(helper_, SIGTERM);  // should it still be asking the system for the lock
        waitpid(helper_, nullptr, 0);
        helper_ = 0;
        pipe_ = -1;
        return;
    }
    std::array<int, 2> ends{};
    if (pipe2(ends.data(), O_CLOEXEC) != 0) {
        return;
    }
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_adddup2(&files, ends[0], STDIN_FILENO);
    posix_spawn_file_actions_addopen(&files, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_addopen(&files, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    posix_spawnattr_t attributes;
    posix_spawnattr_init(&attributes);
    sigset_t none;  // the helper must not inherit the signals that the window holds back
    sigemptyset(&none);
    posix_spawnattr_setsigmask(&attributes, &none);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK);
    std::array<const char*, 7> words = {"systemd-inhibit",
                                        "--what=idle:sleep",
                                        "--who=Tonebath",
                                        "--why=A dip is under way",
                                        "--mode=block",
                                        "cat",
                                        nullptr};
    const int failed =
        posix_spawnp(&helper_, words[0], &files, &attributes, const_cast<char* const*>(words.data()), environ);
    posix_spawnattr_destroy(&attributes);
    posix_spawn_file_actions_destroy(&files);
    close(ends[0]);
    if (failed != 0) {
        close(ends[1]);
        helper_ = 0;
        impossible_ = true;
        return;
    }
    pipe_ = ends[1];
}

}  // namespace tonebath::window
