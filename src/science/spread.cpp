#include "science/spread.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace tonebath::science {

namespace {

constexpr double kSdPerMad = 1.4826;  // 1 / normal quantile of 0.75

}  // namespace

double median_of(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t half = values.size() / 2;
    return values.size() % 2 == 1 ? values[half] : std::midpoint(values[half - 1], values[half]);
}

std::optional<BatchSpread> batch_spread(std::span<const std::optional<double>> values, double reading_sd) {
    if (!std::isfinite(reading_sd) || reading_sd < 0.0) {
        return std::nullopt;
    }
    std::vector<double> known;
    for (const std::optional<double>& value : values) {
        if (value && !std::isfinite(*value)) {
            return std::nullopt;
        }
        if (value) {
            known.push_back(*value);
        }
    }
    if (known.size() < 2) {
        return std::nullopt;
    }
    BatchSpread spread;
    spread.known = known.size();
    spread.unknown = values.size() - known.size();
    spread.median = median_of(known);
    std::vector<double> off;
    for (const double x : known) {
        off.push_back(std::abs(x - spread.median));
    }
    spread.mad = median_of(off);
    spread.robust_sd = std::max(kSdPerMad * spread.mad, reading_sd);
    spread.mean = std::accumulate(known.begin(), known.end(), 0.0) / static_cast<double>(known.size());
    const auto [least, most] = std::minmax_element(known.begin(), known.end());
    spread.least = *least;
    spread.most = *most;
    for (std::size_t i = 0; i < values.size() && known.size() >= kFewestForOdd; ++i) {
        if (values[i] && std::abs(*values[i] - spread.median) > kOddPieceScore * spread.robust_sd) {
            spread.odd.push_back(i);
        }
    }
    return spread;
}

}  // namespace tonebath::science
