#include "window/shell/keep_awake.hpp"

#include "window/shell/child_process.hpp"

#include <fcntl.h>
#include <signal.h>
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
    const std::array<const char*, 7> words = {
        "systemd-inhibit", "--what=idle:sleep", "--who=Tonebath", "--why=A dip is under way", "--mode=block", "cat", nullptr};
    helper_ = start_child(words, &files);
    posix_spawn_file_actions_destroy(&files);
    close(ends[0]);
    if (helper_ == 0) {
        close(ends[1]);
        impossible_ = true;
        return;
    }
    pipe_ = ends[1];
}

}  // namespace tonebath::window
