#include "app/actions/room_actions.hpp"

#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/air.hpp"
#include "app/studio.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

constexpr double kHall_m3 = 2000.0;

Result<Outcome> set_room(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Room room;
    if (const auto size = in.number("size")) {
        room.volume_m3 = *size;
        in.check(rules::above_zero(in.typed("size"), *size, "\"46\", which is 6.0 × 3.2 × 2.4 m"));
        if (*size < kSmallestRoom_m3) {
            in.check(rules::refuse("room.too_small", in.typed("size"), "nobody can stand and work in that.",
                                   "Cubic metres are length × width × height in metres."));
        } else if (*size > kHall_m3) {
            in.check(rules::ask("room.hall", in.typed("size"), "that is a hall.",
                                "Cubic metres are length × width × height in metres."));
        }
    }
    room.flow_m3_h = in.number("flow");
    if (room.flow_m3_h) {
        in.check(rules::between(in.typed("flow"), *room.flow_m3_h, 0.0, 100000.0, "m³/h"));
    }
    room.flow_known = in.choice<AirKnown>("flow-known").value_or(AirKnown::assumed);
    room.still_per_h = in.number("fan-off");
    if (room.still_per_h) {
        in.check(rules::between(in.typed("fan-off"), *room.still_per_h, 0.0, 60.0, "air changes an hour"));
    }
    room.mixing = in.number("mixing");
    if (room.mixing) {
        in.check(rules::between(in.typed("mixing"), *room.mixing, 1.0, science::kWorstMixing, ""));
    }
    room.openings = in.text("openings", Reader::kWords);
    if (in.refused()) {
        return in.refusal();
    }
    write_room(studio.log(), room);
    Outcome outcome{.said = fmt::format("The room is written down: {} m³.", rules::figure(room.volume_m3)),
                    .cautions = {},
                    .made = {}};
    if (!room.flow_m3_h) {
        outcome.cautions.push_back("No flow of a fan is known: the air is told with the fan off only.");
    }
    return outcome;
}

}  // namespace

void add_room_actions(std::vector<ActionSpec>& table) {
    table.push_back(
        {.id = "room.set",
         .label = "Write down the room",
         .help = "Its size and its air, which the figures of the air are for. It takes the place of what stood there.",
         .page = "Safety",
         .key = "R",
         .fields = {required(field("size", "Size", FieldKind::number, "cubic metres: length × width × height")),
                    field("flow", "Fan or hood", FieldKind::number, "m³ an hour while it is on; empty = no figure"),
                    choice_of<AirKnown>("flow-known", "How it is known", "measured, seen with smoke, or assumed"),
                    field("fan-off", "Fan off", FieldKind::number, "air changes an hour, windows shut; empty = 0.3"),
                    field("mixing", "Mixing factor", FieldKind::number, "1 (well mixed) to 10 (very poor); empty = 3"),
                    field("openings", "Windows and doors", FieldKind::text)},
         .carry_out = set_room});
}

}  // namespace tonebath::app
