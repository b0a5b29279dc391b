#include "science/dilution.hpp"

#include <cmath>

namespace tonebath::science {

namespace {

bool positive(double x) {
    return std::isfinite(x) && x > 0.0;
}

}  // namespace

std::optional<double> diluted_strength(double strength, double volume, double end_volume) {
    if (!positive(strength) || !positive(volume) || !positive(end_volume)) {
        return std::nullopt;
    }
    return strength * volume / end_volume;
}

std::optional<double> end_volume_for(double strength, double volume, double wanted_strength) {
    return diluted_strength(strength, volume, wanted_strength);
}

std::optional<double> stock_volume_for(double strength, double wanted_strength, double end_volume) {
    return diluted_strength(wanted_strength, end_volume, strength);
}

std::optional<double> stock_mass_for(double stock_percent, double wanted_percent, double end_mass) {
    if (!positive(stock_percent) || stock_percent > 100.0 || !(wanted_percent <= stock_percent)) {
        return std::nullopt;
    }
    return diluted_strength(wanted_percent, end_mass, stock_percent);
}

std::optional<double> log_ratio_to(const Contents& bath, double usual_per_l) {
    if (!positive(bath.amount) || !positive(bath.volume_ml) || !positive(usual_per_l)) {
        return std::nullopt;
    }
    return std::log(bath.amount / (bath.volume_ml / 1000.0) / usual_per_l);
}

std::optional<Contents> topped_up(const Contents& bath, double amount, double water_ml) {
    const Contents after{bath.amount + amount, bath.volume_ml + water_ml};
    if (!positive(bath.amount) || !positive(bath.volume_ml) || !std::isfinite(amount) || amount < 0.0 ||
        !positive(after.amount) || !positive(after.volume_ml)) {
        return std::nullopt;
    }
    return after;
}

}  // namespace tonebath::science
