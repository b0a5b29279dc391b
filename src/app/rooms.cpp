#include "app/rooms.hpp"

#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/change.hpp"
#include "store/record.hpp"

namespace tonebath::app {

namespace {

constexpr std::string_view kRoomNow = "room_now";  // id of the room that is worked in
constexpr std::string_view kOldRoom = "room";      // what earlier programs kept: a name and a figure a line

std::optional<Room> old_room(Studio& studio) {
    Room room;
    room.name = "workshop";
    for (const std::string& line : split(studio.log().setting(kOldRoom).value_or(""), '\n')) {
        const std::size_t blank = line.find(' ');
        if (blank == std::string::npos) {
            continue;
        }
        const std::string name = line.substr(0, blank);
        const std::string value = line.substr(blank + 1);
        const auto number = parse_number("", value);
        const auto figure = number ? std::optional<double>(*number) : std::nullopt;
        if (name == "volume_m3") {
            room.volume_m3 = figure.value_or(0.0);
        } else if (name == "flow_m3_h") {
            room.flow_m3_h = figure;
        } else if (name == "flow_known") {
            room.flow_known = from_word<AirKnown>(value).value_or(AirKnown::assumed);
        } else if (name == "still_per_h") {
            room.still_per_h = figure;
        } else if (name == "mixing") {
            room.mixing = figure;
        } else if (name == "openings") {
            room.openings = value;
        }
    }
    return room.volume_m3 > 0.0 ? std::optional<Room>(room) : std::nullopt;
}

}  // namespace

std::optional<Room> room_now(Studio& studio) {
    const std::string chosen = studio.log().setting(kRoomNow).value_or("");
    if (!chosen.empty()) {
        if (auto room = store::find(studio.log(), Id<Room>{chosen})) {
            return room;
        }
    }
    const std::vector<Room> rooms = store::list<Room>(studio.log(), "ORDER BY made_utc_ms, id LIMIT 2");
    if (rooms.size() == 1) {
        return rooms.front();
    }
    return rooms.empty() ? old_room(studio) : std::nullopt;  // the old one where the log may only be read
}

Result<Room> room_called(Studio& studio, const std::string& name) {
    if (!name.empty()) {
        return resolve<Room>(studio, "Room", name);
    }
    if (const auto room = room_now(studio)) {
        return *room;
    }
    return Refusal{.code = "room.none_yet",
                   .field = "Room",
                   .value = {},
                   .message = "no room is written down.",
                   .remedy = "Write down its size and its fan first.",
                   .answers = {}};
}

void work_in(Studio& studio, const Id<Room>& room) {
    studio.log().set_setting(kRoomNow, room.text);
}

void bring_room_in(Studio& studio) {
    std::optional<Room> room = old_room(studio);
    if (!room || studio.options().read_only || !store::list<Room>(studio.log(), "LIMIT 1").empty()) {
        return;
    }
    room->made_at = studio.now();
    room->id = studio.ids().next<Room>(room->made_at);
    store::Change change(studio.log(), "the room as a record", room->made_at, "", studio.ids());
    change.stands_alone();
    store::insert(studio.log(), *room);
    change.commit();
    work_in(studio, room->id);
    studio.log().set_setting(kOldRoom, "");
}

}  // namespace tonebath::app
