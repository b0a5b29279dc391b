// Physical constants and reference conditions shared by the formulas, each once, with unit and source.
#pragma once

namespace tonebath::science {

inline constexpr double kGasConstant_j_per_mol_k = 8.31446261815324;  // CODATA 2018, exact since the 2019 SI
inline constexpr double kZeroCelsius_k = 273.15;                      // definition of the Celsius scale
inline constexpr double kReferenceTemp_c = 60.0;                      // doses are quoted at 60 °C (our choice)
inline constexpr double kReferenceDryLump_g_per_l = 5.0;              // and at 5 g/L of dry lump (our choice)

}  // namespace tonebath::science
