// log export, log import, log schema; record-pack, record-pack check.
#pragma once

#include "command/session.hpp"

#include <functional>

namespace CLI {
class App;
}

namespace tonebath::command {

void add_exchange_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_record_pack_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);

}  // namespace tonebath::command
