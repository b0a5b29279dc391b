#include "science/capacity.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tonebath::science {

namespace {

// Standard atomic weights, g/mol.
constexpr double kSilver = 107.868;
constexpr double kCopper = 63.546;
constexpr double kSulfur = 32.06;
constexpr double kPotassium = 39.0983;

constexpr int kThickestGauge = -3;  // No. 0000
constexpr int kThinnestGauge = 40;
constexpr double kAir_kpa = 101.325;

bool positive(double x) {
    return std::isfinite(x) && x > 0.0;
}
bool not_negative(double x) {
    return std::isfinite(x) && x >= 0.0;
}
bool within(double x, double low, double high) {
    return x >= low && x <= high;
}

// kg of water vapour per kg of dry air.
double humidity_ratio(double vapour_kpa) {
    return 0.622 * vapour_kpa / (kAir_kpa - vapour_kpa);
}

}  // namespace

double film_molar_mass_g_per_mol(Film film) {
    switch (film) {
        case Film::silver_sulfide:
            return 2.0 * kSilver + kSulfur;
        case Film::copper_i_sulfide:
            return 2.0 * kCopper + kSulfur;
        case Film::copper_ii_sulfide:
            return kCopper + kSulfur;
    }
    return 0.0;
}

double film_density_g_per_cm3(Film film) {
    switch (film) {
        case Film::silver_sulfide:
            return 7.23;
        case Film::copper_i_sulfide:
            return 5.6;
        case Film::copper_ii_sulfide:
            return 4.68;
    }
    return 0.0;
}

double sulfur_mg_per_cm2_per_nm(Film film) {
    constexpr double cm_per_nm = 1e-7;
    constexpr double mg_per_g = 1000.0;
    return film_density_g_per_cm3(film) * cm_per_nm * mg_per_g * kSulfur / film_molar_mass_g_per_mol(film);
}

std::optional<double> sulfide_as_k2s_mg(double grams) {
    if (!not_negative(grams)) {
        return std::nullopt;
    }
    return 1000.0 * grams * kSulfur / (2.0 * kPotassium + kSulfur);
}

std::optional<double> awg_diameter_mm(int gauge) {
    if (gauge < kThickestGauge || gauge > kThinnestGauge) {
        return std::nullopt;
    }
    return 0.127 * std::pow(92.0, (36.0 - gauge) / 39.0);
}

std::optional<int> nearest_awg(double diameter_mm) {
    if (!positive(diameter_mm)) {
        return std::nullopt;
    }
    const double gauge = 36.0 - 39.0 * std::log(diameter_mm / 0.127) / std::log(92.0);
    if (!within(gauge, kThickestGauge - 0.5, kThinnestGauge + 0.5)) {
        return std::nullopt;
    }
    return std::clamp(static_cast<int>(std::lround(gauge)), kThickestGauge, kThinnestGauge);
}

std::optional<double> wire_area_cm2(double diameter_mm, double length_mm) {
    if (!positive(diameter_mm) || !positive(length_mm)) {
        return std::nullopt;
    }
    return std::numbers::pi * diameter_mm * length_mm / 100.0;
}

std::optional<double> sheet_area_cm2(double length_mm, double width_mm, double thickness_mm) {
    if (!positive(length_mm) || !positive(width_mm) || !not_negative(thickness_mm)) {
        return std::nullopt;
    }
    return 2.0 * (length_mm * width_mm + thickness_mm * (length_mm + width_mm)) / 100.0;
}

std::optional<double> water_density_kg_per_m3(double temp_c) {
    if (!within(temp_c, 0.0, 100.0)) {
        return std::nullopt;
    }
    const double t = temp_c;
    const double top =
        999.83952 +
        t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 + t * -280.54253e-12))));
    return top / (1.0 + 16.879850e-3 * t);  // 16.879850, not the often printed 16.897850
}

std::optional<double> water_volume_ml(double volume_ml, double from_c, double to_c) {
    const auto from = water_density_kg_per_m3(from_c);
    const auto to = water_density_kg_per_m3(to_c);
    if (!positive(volume_ml) || !from || !to) {
        return std::nullopt;
    }
    return volume_ml * *from / *to;
}

std::optional<double> vapour_pressure_kpa(double temp_c) {
    if (!within(temp_c, 1.0, 100.0)) {
        return std::nullopt;
    }
    constexpr double kpa_per_torr = 101.325 / 760.0;
    return kpa_per_torr * std::pow(10.0, 8.07131 - 1730.63 / (233.426 + temp_c));
}

std::optional<double> evaporation_g_per_h(double water_c, double air_c, double humidity_percent, double surface_cm2) {
    const auto at_water = vapour_pressure_kpa(water_c);
    const auto at_air = vapour_pressure_kpa(air_c);
    constexpr double hottest_water_c = 95.0;  // nearer to boiling the humidity ratio runs away
    if (!at_water || !at_air || water_c > hottest_water_c || !within(humidity_percent, 0.0, 100.0) ||
        !positive(surface_cm2)) {
        return std::nullopt;
    }
    const double above = humidity_ratio(*at_water) - humidity_ratio(*at_air * humidity_percent / 100.0);
    constexpr double g_per_kg = 1000.0;
    constexpr double m2_per_cm2 = 1e-4;
    return std::max(0.0, 25.0 * above * g_per_kg * surface_cm2 * m2_per_cm2);
}

std::optional<Capacity> bath_capacity(const CapacityAsked& asked) {
    if (!positive(asked.sulfide_mg) || !positive(asked.area_cm2) || !positive(asked.film_nm) ||
        !not_negative(asked.hours) || !not_negative(asked.law.fade_per_h)) {
        return std::nullopt;
    }
    constexpr double too_little = 0.01;
    Capacity c;
    c.taken_mg = sulfur_mg_per_cm2_per_nm(asked.film) * asked.area_cm2 * asked.film_nm;
    c.used_share = c.taken_mg / asked.sulfide_mg;
    c.faded_share = 1.0 - strength_left(asked.hours, asked.law);
    if (std::max(c.used_share, c.faded_share) >= too_little) {
        c.by = c.used_share > c.faded_share ? BathEnd::use : BathEnd::fade;
    }
    return c;
}

}  // namespace tonebath::science
