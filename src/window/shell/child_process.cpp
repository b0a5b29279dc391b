#include "window/shell/child_process.hpp"

#include <signal.h>
#include <unistd.h>

namespace tonebath::window {

pid_t start_child(std::span<const char* const> words, const posix_spawn_file_actions_t* files) {
    posix_spawnattr_t attributes;
    posix_spawnattr_init(&attributes);
    sigset_t none;
    sigemptyset(&none);
    posix_spawnattr_setsigmask(&attributes, &none);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK);
    pid_t child = 0;
    const int failed =
        posix_spawnp(&child, words.front(), files, &attributes, const_cast<char* const*>(words.data()), environ);
    posix_spawnattr_destroy(&attributes);
    return failed == 0 ? child : 0;
}

}  // namespace tonebath::window
