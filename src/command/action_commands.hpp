// "tonebath NOUN VERB --field …" for every row of the table of actions, and "tonebath NOUN list|show".
#pragma once

#include "command/session.hpp"

#include <functional>
#include <string>

namespace CLI {
class App;
}

namespace tonebath::command {

// The command that stands before the verbs of one noun, made when it is not there yet. `words` become its help.
CLI::App& group_of(CLI::App& parser, const std::string& noun, const std::string& words = {});

// Adds the commands to the parser; the chosen one puts what is to be done into `chosen`.
void add_action_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_record_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
// Groups without words of their own name their verbs.
void describe_groups(CLI::App& parser);

}  // namespace tonebath::command
