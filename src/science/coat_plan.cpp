#include "science/coat_plan.hpp"

#include "base/check.hpp"
#include "science/constants.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

CoatPlan coat_plan(const CoatAsk& ask) {
    TB_CHECK(ask.stones >= 1 && ask.coats >= 1 && ask.each_s >= 0.0 && ask.wait_s >= 0.0 && ask.cure_s >= 0.0);
    CoatPlan plan;
    plan.loop_s = ask.stones * ask.each_s;
    plan.round_s = std::max(plan.loop_s, ask.wait_s);
    plan.idle_s = ask.coats > 1 ? plan.round_s - plan.loop_s : 0.0;
    plan.coats_s = (ask.coats - 1) * plan.round_s + plan.loop_s;
    plan.bath_s = plan.coats_s + ask.cure_s;
    return plan;
}

double coat_begins_s(const CoatAsk& ask, int place, int layer) {
    TB_CHECK(place >= 1 && place <= ask.stones && layer >= 1 && layer <= ask.coats);
    return (layer - 1) * coat_plan(ask).round_s + (place - 1) * ask.each_s;
}

double dew_point_c(double air_c, double humidity_percent) {
    TB_CHECK(humidity_percent > 0.0 && humidity_percent <= 100.0 && air_c > -243.0);
    const double g = std::log(humidity_percent / 100.0) + 17.62 * air_c / (243.12 + air_c);
    return 243.12 * g / (17.62 - g);
}

RoomAir room_air(double air_c, double humidity_percent) {
    RoomAir air;
    air.dew_point_c = dew_point_c(air_c, humidity_percent);
    air.margin_c = air_c - air.dew_point_c;
    air.humidity_met = humidity_percent <= kMostHumidity_percent;
    air.margin_met = air.margin_c >= kLeastMargin_c;
    return air;
}

DryingFactor drying_factor(double air_c, double label_c) {
    const double between = 1.0 / (air_c + 273.15) - 1.0 / (label_c + 273.15);
    const double ethyl = std::exp(35600.0 / kGasConstant_j_per_mol_k * between);
    const double butyl = std::exp(43900.0 / kGasConstant_j_per_mol_k * between);
    return {.low = std::min(ethyl, butyl), .high = std::max(ethyl, butyl)};
}

double dry_film_um(double wet_um, double solids_percent, double thinner) {
    TB_CHECK(wet_um >= 0.0 && solids_percent >= 0.0 && solids_percent <= 100.0 && thinner >= 0.0);
    return wet_um * solids_percent / 100.0 / (1.0 + thinner);
}

Cover cover_of(double stone_mm) {
    const double edge_mm = stone_mm / 2.0;
    return edge_mm <= 6.0 ? Cover::whole_back : edge_mm <= 8.0 ? Cover::most_of_back : Cover::part_of_back;
}

}  // namespace tonebath::science
