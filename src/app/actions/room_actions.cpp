#include "app/actions/room_actions.hpp"

#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/rooms.hpp"
#include "app/studio.hpp"
#include "base/air_quantity.hpp"
#include "science/air.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

constexpr double kHall_m3 = 2000.0;
// A bare figure below this may be the floor of an ordinary workshop.
constexpr double kFloorLikely = 26.0;
constexpr double kUsualCeiling_m = 2.4;
constexpr int kMostSeats = 24;
constexpr std::string_view kFirstName = "workshop";

// A field of its own unit, read where it is filled in.
template <class T>
std::optional<T> read_as(Reader& in, std::string_view key, Result<T> (*parse)(std::string_view, std::string_view)) {
    return in.given(key) ? in.taken(parse(in.typed(key).field, in.typed(key).text)) : std::nullopt;
}

rules::Question size_question(const rules::Typed& typed, const RoomSize& size) {
    if (auto question = rules::above_zero(typed, size.volume_m3, "\"6.0 × 3.2 × 2.4 m\"")) {
        return question;
    }
    if (size.volume_m3 < kSmallestRoom_m3) {
        return rules::refuse("room.too_small", typed, "nobody can stand and work in that.",
                             "Type length × width × height: \"6.0 × 3.2 × 2.4 m\" is 46 m³.");
    }
    if (size.volume_m3 > kHall_m3) {
        return rules::ask("room.hall", typed, fmt::format("that is a hall of {}.", room_size_text(size.volume_m3)),
                          "Type length × width × height: \"6.0 × 3.2 × 2.4 m\".");
    }
    if (size.typed == SizeTyped::bare && size.volume_m3 < kFloorLikely) {
        return rules::ask("room.maybe_floor", typed,
                          fmt::format("as a floor in m² that would be {} under a ceiling of {} m.",
                                      room_size_text(size.volume_m3 * kUsualCeiling_m), rules::figure(kUsualCeiling_m)),
                          "A floor and a room are easily mistaken for each other.",
                          {rules::figure(size.volume_m3 * kUsualCeiling_m) + " m3"});
    }
    return std::nullopt;
}

// What is filled in replaces what stood there.
void read_air(Reader& in, Room& room) {
    if (const auto size = read_as(in, "size", parse_room_size)) {
        in.check(size_question(in.typed("size"), *size));
        room.volume_m3 = size->volume_m3;
    }
    if (const auto flow = read_as(in, "flow", parse_air_flow)) {
        in.check(rules::between(in.typed("flow"), *flow, 0.0, 100000.0, "m³/h"));
        room.flow_m3_h = flow;
    }
    room.flow_known = in.choice<AirKnown>("flow-known").value_or(room.flow_known);
    if (const auto still = in.number("fan-off")) {
        in.check(rules::between(in.typed("fan-off"), *still, 0.0, 60.0, "air changes an hour"));
        room.still_per_h = still;
    }
    if (const auto mixing = in.number("mixing")) {
        in.check(rules::between(in.typed("mixing"), *mixing, 1.0, science::kWorstMixing, ""));
        room.mixing = mixing;
    }
    if (const auto opening = read_as(in, "opening", parse_opening)) {
        in.check(rules::above_zero(in.typed("opening"), *opening, "\"0.6 × 0.4 m\""));
        room.opening_m2 = opening;
    }
    if (const auto distance = read_as(in, "distance", parse_distance)) {
        in.check(rules::between(in.typed("distance"), *distance, 0.0, 10.0, "m"));
        room.distance_m = distance;
    }
    if (in.given("openings")) {
        room.openings = in.text("openings", Reader::kWords);
    }
    if (const auto seats = in.whole("seats")) {
        in.check(rules::between(in.typed("seats"), *seats, 1, kMostSeats, "seats"));
        if (room.seat_limit != seats) {
            room.seat_limit = seats;
            room.limit_by = in.who();
            room.limit_at = in.studio().now();
        }
    }
    if (in.given("note")) {
        room.note = in.note();
    }
}

Outcome said(const Room& room, std::string words) {
    Outcome outcome{.said = std::move(words), .cautions = {}, .made = {{"room", room.id.text}}};
    if (!room.flow_m3_h) {
        outcome.cautions.push_back("No flow of a fan is known: the air is told with the fan off only.");
    }
    return outcome;
}

Result<Outcome> write_new(Reader& in, Room room) {
    Studio& studio = in.studio();
    in.check(rules::number_free(in.typed("name"), "room", number_taken(studio, "room", "name", room.name), ""));
    if (!in.refused() && !in.given("size")) {
        in.check(rules::refuse("form.missing", in.typed("size"), "it is not filled in.",
                               "Fill it in: \"6.0 × 3.2 × 2.4 m\", \"46 m³\" or \"1600 ft³\"."));
    }
    room.from_memory = in.from_memory<Room>();
    if (in.refused()) {
        return in.refusal();
    }
    room.made_at = studio.now();
    room.id = studio.ids().next<Room>(room.made_at);
    const bool first = !room_now(studio);
    const Result<Outcome> written = studio.write("room " + room.name, [&]() -> Result<Outcome> {
        store::insert(studio.log(), room);
        return said(room, fmt::format("Room {} is written down: {}{}.", room.name, room_size_text(room.volume_m3),
                                      first ? ", and worked in" : ""));
    });
    if (written && first) {
        work_in(studio, room.id);
    }
    return written;
}

Result<Outcome> add_room(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Room room;
    room.name = in.text("name", Reader::kNumber);
    read_air(in, room);
    return write_new(in, std::move(room));
}

Result<Outcome> set_room(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<Room> room = in.given("name") ? in.record<Room>("name") : room_now(studio);
    if (in.refused()) {
        return in.refusal();
    }
    if (!room) {
        Room first;
        first.name = kFirstName;
        read_air(in, first);
        return write_new(in, std::move(first));
    }
    read_air(in, *room);
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("room " + room->name, [&]() -> Result<Outcome> {
        store::update(studio.log(), *room);
        return said(*room, fmt::format("Room {} is written down: {}.", room->name, room_size_text(room->volume_m3)));
    });
}

Result<Outcome> use_room(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Room> room = in.record<Room>("name");
    if (in.refused()) {
        return in.refusal();
    }
    work_in(studio, room->id);
    return said(*room, fmt::format("Room {} is worked in: {}.", room->name, room_size_text(room->volume_m3)));
}

std::vector<FieldSpec> air_fields() {
    return {field("size", "Size", FieldKind::text, "length × width × height: \"6.0 × 3.2 × 2.4 m\"; or \"46 m³\", \"1600 ft³\""),
            field("flow", "Fan or hood", FieldKind::text, "\"276 m³/h\", \"162 cfm\" while it is on; empty = no figure"),
            choice_of<AirKnown>("flow-known", "How it is known", "measured, seen with smoke, or assumed"),
            field("fan-off", "Fan off", FieldKind::number, "air changes an hour, windows shut; empty = 0.3"),
            field("mixing", "Mixing factor", FieldKind::number, "1 (well mixed) to 10 (very poor); empty = 3"),
            field("opening", "Face of the hood or fan", FieldKind::text, "\"0.6 × 0.4 m\", \"30 × 25 in\""),
            field("distance", "From there to the bath", FieldKind::text, "\"0.2 m\", \"8 in\""),
            field("openings", "Windows and doors", FieldKind::text),
            field("seats", "Seat limit", FieldKind::number, "of a class in it, your own"),
            note_field()};
}

ActionSpec room_action(std::string id, std::string label, std::string help, FieldSpec name, Result<Outcome> (*carry_out)(Studio&, const Form&)) {
    ActionSpec action{.id = std::move(id), .label = std::move(label), .help = std::move(help), .page = "Safety", .key = "", .fields = {std::move(name)}, .carry_out = carry_out};
    for (FieldSpec& one : air_fields()) {
        action.fields.push_back(std::move(one));
    }
    return action;
}

}  // namespace

void add_room_actions(std::vector<ActionSpec>& table) {
    table.push_back(room_action("room.set", "Write down the room",
                                "Its size and its air, which the figures of the air are for. What is filled in takes the place of what stood there.",
                                reference("name", "Room", "room", "empty = the one that is worked in"), set_room));
    table.back().key = "R";
    table.push_back(room_action("room.add", "Write down another room", "A second room, or one that you teach in. The first is the one that is worked in.",
                                required(field("name", "Name", FieldKind::text, "\"back room\"")), add_room));
    table.push_back({.id = "room.use",
                     .label = "Which room is worked in",
                     .help = "The figures of the air are for this one from now on.",
                     .page = "Safety",
                     .key = "",
                     .fields = {required(reference("name", "Room", "room"))},
                     .carry_out = use_room});
}

}  // namespace tonebath::app
