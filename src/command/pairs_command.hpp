// "tonebath never-meets": what two products must not do.
#pragma once

#include "command/session.hpp"

#include <functional>

namespace CLI {
class App;
}

namespace tonebath::command {

void add_pairs_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);

}  // namespace tonebath::command
