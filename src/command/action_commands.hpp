// "tonebath NOUN VERB --field …" for every row of the table of actions, and "tonebath NOUN list|show".
#pragma once

#include "command/session.hpp"

#include <functional>
#include <memory>

namespace CLI {
class App;
}

namespace tonebath::command {

// Adds the commands to the parser; the chosen one puts what is to be done into `chosen`.
void add_action_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_record_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);

}  // namespace tonebath::command
