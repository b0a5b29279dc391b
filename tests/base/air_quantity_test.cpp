#include "base/air_quantity.hpp"

#include <catch2/catch.hpp>

#include <array>
#include <string>

using namespace tonebath;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

TEST_CASE("A room's size is read in metres and feet, as a figure or as its three sides") {
    struct Row {
        const char* typed;
        double volume_m3;
        SizeTyped how;
    };
    // 1 ft = 0.3048 m: 20 by 14 by 12 ft is 3360 ft³, a room of a published exercise.
    const double foot3 = 0.3048 * 0.3048 * 0.3048;
    const Row row = GENERATE_COPY(
        Row{"46", 46.0, SizeTyped::bare}, Row{"46 m3", 46.0, SizeTyped::with_unit}, Row{"46 m³", 46.0, SizeTyped::with_unit},
        Row{"46,08 m^3", 46.08, SizeTyped::with_unit}, Row{"3360 ft³", 3360.0 * foot3, SizeTyped::with_unit},
        Row{"3360 cu. ft.", 3360.0 * foot3, SizeTyped::with_unit}, Row{"6.0 × 3.2 × 2.4 m", 46.08, SizeTyped::sides},
        Row{"6.0x3.2x2.4", 46.08, SizeTyped::sides}, Row{"600 cm x 3.2 m x 2.4 m", 46.08, SizeTyped::sides},
        Row{"20 by 14 by 12 ft", 3360.0 * foot3, SizeTyped::sides}, Row{"20' x 14' x 12'", 3360.0 * foot3, SizeTyped::sides});
    INFO(row.typed);
    const auto size = parse_room_size("Size", row.typed);
    REQUIRE(size);
    CHECK_THAT(size->volume_m3, WithinRel(row.volume_m3, 1e-12));
    CHECK(size->typed == row.how);
}

TEST_CASE("A floor area is no room, and the size under a usual ceiling is offered") {
    for (const char* floor : {"19.2 m2", "6.0 × 3.2 m", "19.2 sq m"}) {
        INFO(floor);
        const auto size = parse_room_size("Size", floor);
        REQUIRE_FALSE(size);
        CHECK(size.error().code == "room.floor_area");
        REQUIRE(size.error().answers.size() == 1);
        CHECK(size.error().answers.front() == "46.1 m3");
        CHECK(parse_room_size("Size", size.error().answers.front()));
    }
    for (const char* odd : {"", "large", "1 x 2 x 3 x 4 m", "5 kg", "6 x x 2", "1e999"}) {
        INFO(odd);
        CHECK_FALSE(parse_room_size("Size", odd));
    }
}

TEST_CASE("Flows, speeds, openings and distances carry the exact factors") {
    // 1 ft³/min = 0.3048³ · 60 = 1.69901 m³/h; 1 l/s = 3.6 m³/h.
    CHECK_THAT(parse_air_flow("Fan", "276").value(), WithinRel(276.0, 1e-14));
    CHECK_THAT(parse_air_flow("Fan", "280 cfm").value(), WithinAbs(475.723, 0.001));
    CHECK_THAT(parse_air_flow("Fan", "280 ft³/min").value(), WithinAbs(475.723, 0.001));
    CHECK_THAT(parse_air_flow("Fan", "100 l/s").value(), WithinRel(360.0, 1e-14));
    CHECK_THAT(parse_air_flow("Fan", "4.6 m3 per min").value(), WithinRel(276.0, 1e-14));
    CHECK_THAT(parse_air_speed("Speed", "100 ft/min").value(), WithinRel(0.508, 1e-14));
    CHECK_THAT(parse_air_speed("Speed", "100 fpm").value(), WithinRel(0.508, 1e-14));
    CHECK_THAT(parse_air_speed("Speed", "0,5 m/s").value(), WithinRel(0.5, 1e-14));
    CHECK_THAT(parse_opening("Opening", "30 x 25 in").value(), WithinRel(750.0 * 0.0254 * 0.0254, 1e-12));
    CHECK_THAT(parse_opening("Opening", "750 in²").value(), WithinRel(750.0 * 0.0254 * 0.0254, 1e-12));
    CHECK_THAT(parse_opening("Opening", "0.05").value(), WithinRel(0.05, 1e-14));
    CHECK_THAT(parse_distance("Distance", "8 in").value(), WithinRel(0.2032, 1e-12));
    CHECK_FALSE(parse_air_flow("Fan", "5 m"));
    CHECK_FALSE(parse_opening("Opening", "1 x 2 x 3 m"));
    const auto unknown = parse_air_flow("Fan", "5 furlongs");
    REQUIRE_FALSE(unknown);
    CHECK(unknown.error().code == "text.unknown_unit");
    CHECK(unknown.error().field == "Fan");
}

TEST_CASE("Sizes and flows are told in both units, and read back") {
    CHECK(room_size_text(46.08) == "46.1 m³ (1627 ft³)");
    CHECK(air_flow_text(276.0) == "276 m³/h (162 ft³/min)");
    CHECK(air_speed_text(0.508) == "0.508 m/s (100 ft/min)");
    CHECK(opening_text(0.5) == "0.5 m² (5.38 ft²)");
    for (const double flow : {0.0, 3.25, 276.0, 1250.0}) {
        const std::string text = air_flow_text(flow);
        CHECK_THAT(parse_air_flow("Fan", text.substr(0, text.find(" ("))).value(), WithinAbs(flow, 0.5));
    }
}
