#include "base/units.hpp"

#include <cmath>
#include <limits>

namespace tonebath {

namespace {

// ASTM B258: gauge 36 is 0.005 in, gauge 0000 is 0.46 in, and 39 equal ratios lie between them: 0.46 / 0.005 = 92.
constexpr double kGauge36Mm = 0.127;
constexpr double kGaugeRatio = 92.0;
constexpr double kGaugeSteps = 39.0;

}  // namespace

Millimetres Millimetres::from_awg(double gauge) {
    return Millimetres(kGauge36Mm * std::pow(kGaugeRatio, (36.0 - gauge) / kGaugeSteps));
}

double Millimetres::awg() const {
    if (!(value_ > 0.0)) {
        return std::numeric_limits<double>::quiet_NaN();
    }
    return 36.0 - kGaugeSteps * std::log(value_ / kGauge36Mm) / std::log(kGaugeRatio);
}

}  // namespace tonebath
