// What uses a bath up: sulfide taken by the metal, and standing. With it: film stoichiometry, wire and sheet areas,
// water density and evaporation. Sources and ranges: docs/formulas/capacity.md. All nullopt on bad input.
#pragma once

#include "science/dose.hpp"

#include <cstddef>
#include <optional>

namespace tonebath::science {

enum class Film { silver_sulfide, copper_i_sulfide, copper_ii_sulfide };  // Ag2S, Cu2S, CuS

// Sulfur in a dense film, mg per cm2 per nm: density x 32.06 / molar mass. Ag2S: 9.4e-5.
[[nodiscard]] double sulfur_mg_per_cm2_per_nm(Film film);
// Molar mass g/mol (standard atomic weights) and density g/cm3 (handbook values, from memory).
[[nodiscard]] double film_molar_mass_g_per_mol(Film film);
[[nodiscard]] double film_density_g_per_cm3(Film film);

// Sulfide sulfur in mg if all were K2S. An upper bound for a lump: real content is doubtful and lower.
[[nodiscard]] std::optional<double> sulfide_as_k2s_mg(double grams);

// Wire: d = 0.127 mm x 92^((36 - n)/39), n = -3 (0000) to 40. ASTM B258 defines No. 36 = 0.005 in, No. 0000 = 0.46 in.
[[nodiscard]] std::optional<double> awg_diameter_mm(int gauge);
// Nearest gauge to a diameter, -3 to 40.
[[nodiscard]] std::optional<int> nearest_awg(double diameter_mm);
// Side of a wire without its ends.
[[nodiscard]] std::optional<double> wire_area_cm2(double diameter_mm, double length_mm);
// Both faces and the edges of a rectangle.
[[nodiscard]] std::optional<double> sheet_area_cm2(double length_mm, double width_mm, double thickness_mm = 0.0);

// Density of air-free water in kg/m3, 0 to 100 °C, 1 atm. Kell 1975, J. Chem. Eng. Data 20, 97, equation 16.
[[nodiscard]] std::optional<double> water_density_kg_per_m3(double temp_c);
// Volume at to_c of water measured as volume_ml at from_c.
[[nodiscard]] std::optional<double> water_volume_ml(double volume_ml, double from_c, double to_c);
// Vapour pressure of water, 1 to 100 °C, Antoine equation (constants from memory; within 1.5 % of the table used).
[[nodiscard]] std::optional<double> vapour_pressure_kpa(double temp_c);
// Water lost from an open surface in still air, g/h: 25 (xs - x) kg/(m2 h). Good to a factor of 1.5.
[[nodiscard]] std::optional<double> evaporation_g_per_h(double water_c, double air_c, double humidity_percent,
                                                        double surface_cm2);

// The two things that end a bath.
enum class BathEnd { use, fade, neither };
struct CapacityAsked {
    double sulfide_mg = 0.0;  // at make-up
    double area_cm2 = 0.0;    // of all pieces together, above zero
    double film_nm = 0.0;     // mean film they take
    Film film = Film::silver_sulfide;
    double hours = 0.0;  // standing so far, or planned
    RateLaw law = {};    // its fade
};
struct Capacity {
    double taken_mg = 0.0;          // by the metal
    double used_share = 0.0;        // of the sulfide; may pass 1
    double faded_share = 0.0;       // strength lost by standing
    BathEnd by = BathEnd::neither;  // the larger of the two; neither when both are under 1 %
};
[[nodiscard]] std::optional<Capacity> bath_capacity(const CapacityAsked& asked);

}  // namespace tonebath::science
