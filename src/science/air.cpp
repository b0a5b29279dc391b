#include "science/air.hpp"

#include "science/constants.hpp"

#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kMinutes_per_h = 60.0;
constexpr double kSeconds_per_h = 3600.0;

bool sound(const Airing& air) {
    return std::isfinite(air.room_m3) && air.room_m3 > 0.0 && std::isfinite(air.flow_m3_h) && air.flow_m3_h >= 0.0 &&
           air.mixing >= 1.0 && air.mixing <= kWorstMixing;
}

bool not_negative(double value) {
    return std::isfinite(value) && value >= 0.0;
}
bool positive(double value) {
    return std::isfinite(value) && value > 0.0;
}

}  // namespace

std::optional<double> molar_volume_l(double temp_c) {
    if (!(temp_c >= -30.0 && temp_c <= 60.0)) {
        return std::nullopt;
    }
    return 24.45 * (kZeroCelsius_k + temp_c) / (kZeroCelsius_k + 25.0);
}

std::optional<double> mg_m3_of_ppm(double ppm, double molar_g_per_mol, double temp_c) {
    const auto volume_l = molar_volume_l(temp_c);
    if (!volume_l || !not_negative(ppm) || !positive(molar_g_per_mol)) {
        return std::nullopt;
    }
    return ppm * molar_g_per_mol / *volume_l;
}

std::optional<double> ppm_of_mg_m3(double mg_m3, double molar_g_per_mol, double temp_c) {
    const auto volume_l = molar_volume_l(temp_c);
    if (!volume_l || !not_negative(mg_m3) || !positive(molar_g_per_mol)) {
        return std::nullopt;
    }
    return mg_m3 * *volume_l / molar_g_per_mol;
}

double molar_g_per_mol(Sulfide solid) {
    // Standard atomic weights, rounded: K 39.10, Na 22.99, N 14.01, H 1.008, S 32.06.
    switch (solid) {
        case Sulfide::k2s: return 110.26;
        case Sulfide::k2s3: return 174.38;
        case Sulfide::k2s5: return 238.50;
        case Sulfide::khs: return 72.17;
        case Sulfide::na2s: return 78.04;
        case Sulfide::nh4_2s: return 68.14;
    }
    return 0.0;
}

double h2s_g_per_g(Sulfide solid) {
    return kH2s_g_per_mol / molar_g_per_mol(solid);
}

std::optional<GasInRoom> gas_in_room(double gas_g, double molar_g_per_mol, double room_m3, double temp_c) {
    const auto volume_l = molar_volume_l(temp_c);
    if (!volume_l || !not_negative(gas_g) || !positive(molar_g_per_mol) || !positive(room_m3)) {
        return std::nullopt;
    }
    GasInRoom gas;
    gas.gas_g = gas_g;
    gas.gas_l = gas_g / molar_g_per_mol * *volume_l;
    gas.mg_m3 = gas_g * 1000.0 / room_m3;
    gas.ppm = gas.gas_l / (room_m3 * 1000.0) * 1e6;
    return gas;
}

std::optional<GasInRoom> worst_case_h2s(Sulfide solid, double grams, double room_m3, double temp_c) {
    return gas_in_room(grams * h2s_g_per_g(solid), kH2s_g_per_mol, room_m3, temp_c);
}

double air_changes_per_h(const Airing& air) {
    return air.room_m3 > 0.0 ? air.flow_m3_h / air.room_m3 : 0.0;
}

std::optional<double> level_after(const Airing& air, const AirCourse& course, double hours) {
    if (!sound(air) || !not_negative(hours) || !not_negative(course.start) || !not_negative(course.source_per_h) ||
        !not_negative(course.background)) {
        return std::nullopt;
    }
    const double turns = air.flow_m3_h / air.mixing * hours / air.room_m3;
    // (1 - e^-a)/a, which stays exact as the flow goes to nothing.
    const double share = turns > 1e-12 ? -std::expm1(-turns) / turns : 1.0;
    return course.start * std::exp(-turns) - course.background * std::expm1(-turns) +
           course.source_per_h * hours / air.room_m3 * share;
}

std::optional<double> mean_level(const Airing& air, double source_per_h, double source_h, double over_h) {
    if (!sound(air) || !not_negative(source_per_h) || !not_negative(source_h) || !positive(over_h) || source_h > over_h) {
        return std::nullopt;
    }
    const double rest_h = over_h - source_h;
    const double carried_m3_h = air.flow_m3_h / air.mixing;
    if (carried_m3_h * over_h < 1e-6 * air.room_m3) {  // as good as no air: a ramp, then level
        return source_per_h * source_h * (0.5 * source_h + rest_h) / air.room_m3 / over_h;
    }
    const double at_stop = level_after(air, {.source_per_h = source_per_h}, source_h).value_or(0.0);
    const double at_end = level_after(air, {.start = at_stop}, rest_h).value_or(0.0);
    return (source_per_h * source_h - at_end * air.room_m3) / carried_m3_h / over_h;
}

std::optional<double> steady_level(const Airing& air, const AirCourse& course) {
    if (!sound(air) || air.flow_m3_h <= 0.0 || !not_negative(course.source_per_h) || !not_negative(course.background)) {
        return std::nullopt;
    }
    return course.background + course.source_per_h * air.mixing / air.flow_m3_h;
}

std::optional<double> purge_min(const Airing& air, double from, double to) {
    if (!sound(air) || !not_negative(from) || !positive(to)) {
        return std::nullopt;
    }
    if (from <= to) {
        return 0.0;
    }
    if (air.flow_m3_h <= 0.0) {
        return std::nullopt;
    }
    return std::log(from / to) * air.mixing * kMinutes_per_h / air_changes_per_h(air);
}

std::optional<double> dilution_flow(double vapour_flow, double ppm, double mixing) {
    if (!not_negative(vapour_flow) || !positive(ppm) || !(mixing >= 1.0 && mixing <= kWorstMixing)) {
        return std::nullopt;
    }
    return mixing * vapour_flow * 1e6 / ppm;
}

std::optional<double> vapour_l(double liquid_ml, double density_g_per_ml, double molar_g_per_mol, double temp_c) {
    const auto volume_l = molar_volume_l(temp_c);
    if (!volume_l || !not_negative(liquid_ml) || !positive(density_g_per_ml) || !positive(molar_g_per_mol)) {
        return std::nullopt;
    }
    return liquid_ml * density_g_per_ml / molar_g_per_mol * *volume_l;
}

double face_flow_m3_h(double velocity_m_s, double area_m2) {
    return velocity_m_s * area_m2 * kSeconds_per_h;
}

std::optional<double> face_velocity_m_s(double flow_m3_h, double area_m2) {
    if (!not_negative(flow_m3_h) || !positive(area_m2)) {
        return std::nullopt;
    }
    return flow_m3_h / kSeconds_per_h / area_m2;
}

std::optional<double> capture_flow_m3_h(double velocity_m_s, double distance_m, double area_m2) {
    if (!not_negative(velocity_m_s) || !not_negative(distance_m) || !positive(area_m2)) {
        return std::nullopt;
    }
    return face_flow_m3_h(velocity_m_s, 10.0 * distance_m * distance_m + area_m2);
}

std::optional<double> capture_velocity_m_s(double flow_m3_h, double distance_m, double area_m2) {
    if (!not_negative(distance_m) || !positive(area_m2)) {
        return std::nullopt;
    }
    return face_velocity_m_s(flow_m3_h, 10.0 * distance_m * distance_m + area_m2);
}

}  // namespace tonebath::science
