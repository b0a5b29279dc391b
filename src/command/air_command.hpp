// "tonebath air": what could be in the room's air.
#pragma once

#include "command/session.hpp"

#include <functional>

namespace CLI {
class App;
}

namespace tonebath::command {

void add_air_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);

}  // namespace tonebath::command
