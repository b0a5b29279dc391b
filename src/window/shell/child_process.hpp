// Starts another program beside the window. It gets no signal mask of ours: the window holds back the signals it waits for,
// and a child that inherited that could not be ended.
#pragma once

#include <spawn.h>
#include <sys/types.h>

#include <span>

namespace tonebath::window {

// `words`: the program (a path, or a name that PATH is searched for), its arguments, and nullptr last. `files` may be null.
// The child's id, or 0 when it could not be started; the caller waits for it.
pid_t start_child(std::span<const char* const> words, const posix_spawn_file_actions_t* files);

}  // namespace tonebath::window
