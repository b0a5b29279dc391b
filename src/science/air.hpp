// The air of one room, taken as one well-stirred box whose clean air is divided by a mixing factor.
//
// Notation: M g/mol, V room m3, Q clean air m3/h, K mixing factor (1 = perfectly mixed, up to 10 = very poor), Q' =
// Q/K. Sources: US figures in mg/m3 are at 25 °C and 1 atm (24.45 L/mol; NIOSH pocket guide), European ones at 20 °C
// (24.055 L/mol; Directive 91/322/EEC, annex). Build-up, decay, dilution: Abulencia and Theodore, Fluid Flow for the
// Practicing Chemical Engineer, ch. 20; decay and mixing factor also CDC, MMWR 43 (RR-13) and CDC 2003, table B.1.
// One figure for the whole room: at the vessel it is far higher, and no formula here gives that.
// nullopt on input outside the stated ranges.
#pragma once

#include <optional>

namespace tonebath::science {

inline constexpr double kH2s_g_per_mol = 34.08;  // hydrogen sulfide; standard atomic weights, rounded
inline constexpr double kWorstMixing = 10.0;     // CDC, MMWR 43 (RR-13): the mixing factor may be as high as this

// Litres a mole of gas takes at temp_c (-30 to 60) and 1 atm: NIOSH's 24.45 L at 25 °C, in proportion to the absolute
// temperature; within 0.1 % of the European 24.055 L at 20 °C.
[[nodiscard]] std::optional<double> molar_volume_l(double temp_c);
[[nodiscard]] std::optional<double> mg_m3_of_ppm(double ppm, double molar_g_per_mol, double temp_c = 25.0);
[[nodiscard]] std::optional<double> ppm_of_mg_m3(double mg_m3, double molar_g_per_mol, double temp_c = 25.0);

// The sulfides whose whole content can turn into gas when acid meets them: one mole of gas per mole of solid.
enum class Sulfide { k2s, k2s3, k2s5, khs, na2s, nh4_2s };
[[nodiscard]] double molar_g_per_mol(Sulfide solid);
[[nodiscard]] double h2s_g_per_g(Sulfide solid);

// Gas let go at once into a closed room.
struct GasInRoom {
    double gas_g = 0.0;
    double gas_l = 0.0;  // at temp_c and 1 atm
    double mg_m3 = 0.0;
    double ppm = 0.0;
};
// Upper bound: every gram of sulfide turned to hydrogen sulfide, none lost. grams >= 0, room_m3 > 0.
[[nodiscard]] std::optional<GasInRoom> worst_case_h2s(Sulfide solid, double grams, double room_m3,
                                                      double temp_c = 25.0);
[[nodiscard]] std::optional<GasInRoom> gas_in_room(double gas_g, double molar_g_per_mol, double room_m3,
                                                   double temp_c = 25.0);

// A room and its clean air.
struct Airing {
    double room_m3 = 0.0;
    double flow_m3_h = 0.0;  // 0 = none at all
    double mixing = 1.0;     // K, 1 to 10
};
[[nodiscard]] double air_changes_per_h(const Airing& air);  // Q/V, whatever K
// C(t) = C0 e^(-a) + (Cb + G/Q')(1 - e^(-a)), a = Q' t / V; without flow C0 + G t / V. Concentrations in any one unit
// per m3 (mg/m3 with mg/h); t in hours >= 0. background is that of the air coming in.
struct AirCourse {
    double start = 0.0;
    double source_per_h = 0.0;  // G
    double background = 0.0;    // Cb
};
[[nodiscard]] std::optional<double> level_after(const Airing& air, const AirCourse& course, double hours);
// Mean over over_h hours from clean air, with a source that runs for source_h hours (at most over_h) and then stops: what
// came off less what is left in the room, over what was carried out; exact, from the balance. Background is not counted.
[[nodiscard]] std::optional<double> mean_level(const Airing& air, double source_per_h, double source_h, double over_h);
// Cb + G/Q'; nullopt without flow.
[[nodiscard]] std::optional<double> steady_level(const Airing& air, const AirCourse& course);
// Minutes from `from` down to `to` with no source left: -ln(to/from) K 60 / ACH. 0 when already there; nullopt without
// flow: it never gets there by air.
[[nodiscard]] std::optional<double> purge_min(const Airing& air, double from, double to);

// Flow that holds a vapour at ppm: Q = K G 10^6 / ppm; G and Q in one unit of flow.
[[nodiscard]] std::optional<double> dilution_flow(double vapour_flow, double ppm, double mixing);
// Litres of vapour from ml of liquid (g/ml, g/mol).
[[nodiscard]] std::optional<double> vapour_l(double liquid_ml, double density_g_per_ml, double molar_g_per_mol,
                                             double temp_c = 25.0);
// Flow through an opening, m3/h, from its face velocity and area; and the velocity that a measured flow makes.
[[nodiscard]] double face_flow_m3_h(double velocity_m_s, double area_m2);
[[nodiscard]] std::optional<double> face_velocity_m_s(double flow_m3_h, double area_m2);
// Flow of a plain opening that catches at a distance: v (10 x² + A). Formula from memory: shown as such.
[[nodiscard]] std::optional<double> capture_flow_m3_h(double velocity_m_s, double distance_m, double area_m2);
// The other way round: the speed that a flow makes at that distance.
[[nodiscard]] std::optional<double> capture_velocity_m_s(double flow_m3_h, double distance_m, double area_m2);

}  // namespace tonebath::science
