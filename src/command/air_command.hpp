// "tonebath air": what could be in the room's air.
#pragma once

#include "command/session.hpp"

#include <functional>

namespace CLI {
class App;
}

namespace tonebath::command {

void add_air_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
// "tonebath air winter": what a colder room does to the dose.
void add_winter_command(CLI::App& air, const Session& session, std::function<Exit()>& chosen);

}  // namespace tonebath::command
