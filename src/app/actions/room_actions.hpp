// The action that writes down the room and its air.
#pragma once

#include "app/actions.hpp"

namespace tonebath::app {

void add_room_actions(std::vector<ActionSpec>& table);

}  // namespace tonebath::app
