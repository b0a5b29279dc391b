// tone photo, tone difference, tone steady.
#pragma once

#include "command/session.hpp"

#include <functional>

namespace CLI {
class App;
}

namespace tonebath::command {

void add_tone_photo_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);

}  // namespace tonebath::command
