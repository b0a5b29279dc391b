// Make-up arithmetic: strength = amount / volume, in whatever unit the lot is measured in (g, ml or drops per litre).
// Checked against the dilution examples of OpenStax Chemistry 2e, sections 3.3 and 3.4. All nullopt on bad input.
#pragma once

#include <optional>

namespace tonebath::science {

// c2 = c1 v1 / v2, volumes in one unit.
[[nodiscard]] std::optional<double> diluted_strength(double strength, double volume, double end_volume);
// v2 = c1 v1 / c2: make it up to this.
[[nodiscard]] std::optional<double> end_volume_for(double strength, double volume, double wanted_strength);
// v1 = c2 v2 / c1: take this much.
[[nodiscard]] std::optional<double> stock_volume_for(double strength, double wanted_strength, double end_volume);
// Mass of stock (percent by mass) for a mass of weaker solution.
[[nodiscard]] std::optional<double> stock_mass_for(double stock_percent, double wanted_percent, double end_mass);

// A bath's contents. amount in the lot's own unit.
struct Contents {
    double amount = 0.0;
    double volume_ml = 0.0;
};
// log(C/C0) of these contents against a usual make-up in amount per litre.
[[nodiscard]] std::optional<double> log_ratio_to(const Contents& bath, double usual_per_l);
// After a top-up with fresh stock and water (either may be zero), or after water lost (water_ml below zero).
[[nodiscard]] std::optional<Contents> topped_up(const Contents& bath, double amount, double water_ml);

}  // namespace tonebath::science
