// Rooms, and which of them is worked in now.
#pragma once

#include "base/result.hpp"
#include "model/room.hpp"

#include <optional>
#include <string>

namespace tonebath::app {

class Studio;

// Less than this is a cupboard: 2 by 1.25 by 2.4 m.
inline constexpr double kSmallestRoom_m3 = 6.0;

// The room that is worked in: the one that was chosen, else the only one. Nothing is told of any air without one.
[[nodiscard]] std::optional<Room> room_now(Studio& studio);
// The one with this name; the one that is worked in when `name` is empty. Refusals: "room.unknown", "room.none_yet".
[[nodiscard]] Result<Room> room_called(Studio& studio, const std::string& name);
void work_in(Studio& studio, const Id<Room>& room);

// Logs of earlier programs kept one room as a setting: it becomes a record, once, in a change of its own.
void bring_room_in(Studio& studio);

}  // namespace tonebath::app
