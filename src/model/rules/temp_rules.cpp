#include "model/rules/temp_rules.hpp"

#include <fmt/format.h>

#include <cmath>

namespace tonebath::rules {

namespace {

bool bare_celsius(const Typed& typed, const UnitChoice& units) {
    return units.temperature == UnitChoice::Temperature::celsius && !names_unit(typed.text);
}

Celsius as_fahrenheit(Celsius taken) {
    return Celsius::from_fahrenheit(taken.celsius());
}

}  // namespace

Question bath_temp(const Typed& typed, Celsius temp, const UnitChoice& units) {
    if (temp.celsius() > 100.0) {
        if (bare_celsius(typed, units) && temp.celsius() <= 212.0) {
            const std::string meant = text_of(as_fahrenheit(temp));
            return refuse("bath.temp.looks_fahrenheit", typed,
                          fmt::format("That looks like °F: {} °F is {}.", figure(temp.celsius()), meant),
                          fmt::format("{} °C is hotter than water boils; choose, or type it with its unit.",
                                      figure(temp.celsius())),
                          {meant, std::string(kBlank)});
        }
        return refuse("bath.temp.above_boiling", typed, "that is hotter than water boils.",
                      "Type it again, with its unit where it is °F, or leave it empty when it is not known.",
                      {std::string(kBlank)});
    }
    if (temp.celsius() < 0.0) {
        return refuse("bath.temp.frozen", typed, "a bath of water is frozen at that.",
                      "Type it again, with its unit where it is °F, or leave it empty when it is not known.",
                      {std::string(kBlank)});
    }
    return std::nullopt;
}

Question room_temp(const Typed& typed, Celsius temp, const UnitChoice& units) {
    if (temp.celsius() > 50.0 || temp.celsius() < -20.0) {
        if (bare_celsius(typed, units) && temp.celsius() > 50.0 && temp.celsius() <= 110.0) {
            const std::string meant = text_of(as_fahrenheit(temp));
            return refuse("room.temp.looks_fahrenheit", typed,
                          fmt::format("That looks like °F: {} °F is {}.", figure(temp.celsius()), meant),
                          "Choose, or type it with its unit.", {meant, std::string(kBlank)});
        }
        return refuse("room.temp.not_a_room", typed, "no room to work in is that hot or cold.",
                      "Type it again, with its unit where it is °F, or leave it empty when it is not known.",
                      {std::string(kBlank)});
    }
    return std::nullopt;
}

Question room_against_bath(const Typed& room_typed, std::optional<Celsius> room, std::optional<Celsius> bath) {
    if (!room || !bath || room->celsius() <= bath->celsius()) {
        return std::nullopt;
    }
    return ask("bath.room_hotter", room_typed,
               fmt::format("the room ({}) would be hotter than the bath ({}).", text_of(*room), text_of(*bath)),
               "Were the two changed over? Type them again, or keep it where the bath is cold on purpose.",
               {std::string(kBlank)});
}

Celsius boiling_point(double altitude_m) {
    const double pressure_mmhg = 760.0 * std::pow(1.0 - 0.0065 * altitude_m / 288.15, 5.25588);
    return Celsius::from_celsius(1730.63 / (8.07131 - std::log10(pressure_mmhg)) - 233.426);
}

}  // namespace tonebath::rules
