#include "science/drift_watch.hpp"

#include "science/drift_series.hpp"
#include "science/run_chart.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace tonebath::science {

namespace {

constexpr double kLeastScatter = 0.03;       // ours: bath-to-bath scatter is never taken for less

struct LineFit {
    double square = 0.0;  // weighted residual sum of squares
    double size = 0.0;
    double size_se = 0.0;
};

// value = level of its lot + size * x, weighted least squares; x is made free of the lots' means.
LineFit fit_shift(const Series& s, const std::vector<double>& x) {
    std::map<std::size_t, std::array<double, 3>> by_lot;  // sum of weight, of weight * value, of weight * x
    for (std::size_t i = 0; i < s.value.size(); ++i) {
        auto& sums = by_lot[s.lot[i]];
        sums[0] += s.weight[i];
        sums[1] += s.weight[i] * s.value[i];
        sums[2] += s.weight[i] * x[i];
    }
    double xx = 0.0;
    double xy = 0.0;
    double yy = 0.0;
    for (std::size_t i = 0; i < s.value.size(); ++i) {
        const auto& sums = by_lot[s.lot[i]];
        const double y = s.value[i] - sums[1] / sums[0];
        const double z = x[i] - sums[2] / sums[0];
        xx += s.weight[i] * z * z;
        xy += s.weight[i] * z * y;
        yy += s.weight[i] * y * y;
    }
    if (!(xx > 1e-12)) {
        return {yy, 0.0, 1e9};
    }
    return {yy - xy * xy / xx, xy / xx, 1.0 / std::sqrt(xx)};
}

std::vector<double> shape_of(const Series& s, ShiftShape shape, std::size_t first) {
    std::vector<double> x(s.value.size(), 0.0);
    const double from = shape == ShiftShape::slide ? s.day[first - 1] : 0.0;
    const double span = std::max(s.day.back() - from, 1e-9);
    for (std::size_t i = first; i < x.size(); ++i) {
        x[i] = shape == ShiftShape::step ? 1.0 : (s.day[i] - from) / span;
    }
    return x;
}

std::optional<SpeedShift> best_shift(const Series& s) {
    const std::size_t n = s.value.size();
    if (n < kFewestBaths) {
        return std::nullopt;
    }
    const double before = fit_shift(s, std::vector<double>(n, 0.0)).square;
    std::optional<SpeedShift> best;
    double best_gain = 0.0;
    for (const ShiftShape shape : {ShiftShape::step, ShiftShape::slide}) {
        for (std::size_t first = kFewestAfter; first + kFewestAfter <= n; ++first) {
            const LineFit fit = fit_shift(s, shape_of(s, shape, first));
            const double gain = before - fit.square - (shape == ShiftShape::slide ? kSlideBeats : 0.0);
            if (gain > best_gain) {
                best_gain = gain;
                best = SpeedShift{shape, s.place[first], s.day[first], fit.size, fit.size_se, before - fit.square, {}};
                if (shape == ShiftShape::slide && fit.size < 0.0) {
                    best->half_life_days = std::log(2.0) * (s.day.back() - s.day[first - 1]) / -fit.size;
                }
            }
        }
    }
    if (!best || best->score < kShiftScore) {
        return std::nullopt;
    }
    return best;
}

// The shift of one lot at a place found for all: size and error; nothing without baths on both sides.
std::optional<LineFit> lot_at(const Series& lot, ShiftShape shape, double day) {
    std::size_t first = 0;
    while (first < lot.day.size() && lot.day[first] < day) {
        ++first;
    }
    if (first == 0 || first == lot.day.size()) {
        return std::nullopt;
    }
    return fit_shift(lot, shape_of(lot, shape, first));
}

}  // namespace

// Scatter from neighbours of one lot: blind to shifts and slides, as a moving range is. Median, so that a single jump
// does not raise it; 0.6745 sqrt(2) turns the median of |difference| of normals into their sd.
double scatter_of(std::span<const BathSpeed> baths) {
    std::map<std::size_t, double> last;
    std::vector<double> steps;
    for (const BathSpeed& b : baths) {
        const auto found = last.find(b.lot);
        if (found != last.end()) {
            steps.push_back(std::abs(b.log_speed - found->second));
        }
        last[b.lot] = b.log_speed;
    }
    if (steps.empty()) {
        return kLeastScatter;
    }
    std::ranges::sort(steps);
    return std::max(kLeastScatter, steps[steps.size() / 2] / (0.6745 * std::sqrt(2.0)));
}

Series series_of(std::span<const BathSpeed> baths, double scatter, std::optional<std::size_t> lot) {
    double own = 0.0;
    for (const BathSpeed& b : baths) {
        own += b.sd * b.sd / static_cast<double>(baths.size());
    }
    Series s;
    for (std::size_t i = 0; i < baths.size(); ++i) {
        if (!lot || baths[i].lot == *lot) {
            s.place.push_back(i);
            s.day.push_back(baths[i].day);
            s.value.push_back(baths[i].log_speed);
            // Neighbours' scatter holds the average reading error already: only what a bath has beyond that is added.
            s.weight.push_back(1.0 / (scatter * scatter + std::max(0.0, baths[i].sd * baths[i].sd - own)));
            s.lot.push_back(baths[i].lot);
        }
    }
    return s;
}

bool sound(std::span<const BathSpeed> baths) {
    for (std::size_t i = 0; i < baths.size(); ++i) {
        const BathSpeed& b = baths[i];
        if (!std::isfinite(b.day) || !std::isfinite(b.log_speed) || !std::isfinite(b.sd) || !(b.sd > 0.0) ||
            b.other.size() != baths.front().other.size() || (i > 0 && b.day < baths[i - 1].day)) {
            return false;
        }
    }
    return true;
}

std::optional<DriftReport> watch_drift(std::span<const BathSpeed> baths) {
    if (baths.size() < kFewestBaths || !sound(baths)) {
        return std::nullopt;
    }
    DriftReport out;
    std::vector<double> first_values;
    for (const BathSpeed& b : baths.first(std::min(kLimitBaths, baths.size()))) {
        first_values.push_back(b.log_speed);
    }
    const auto chart = run_chart(first_values);
    if (!chart) {
        return std::nullopt;
    }
    out.centre = chart->centre;
    out.lower = chart->lower;
    out.upper = chart->upper;
    out.trial = baths.size() < kLimitBaths;
    for (std::size_t i = 0; i < baths.size(); ++i) {
        if (baths[i].log_speed < out.lower || baths[i].log_speed > out.upper) {
            out.outside.push_back(i);
        }
    }

    const double scatter = scatter_of(baths);
    std::vector<std::size_t> lots;
    for (const BathSpeed& b : baths) {
        if (std::ranges::find(lots, b.lot) == lots.end()) {
            lots.push_back(b.lot);
        }
    }
    const Series all = series_of(baths, scatter, std::nullopt);
    const auto together = best_shift(all);
    bool shared = false;
    if (together) {
        // Shared: at least two lots were met on both sides, each moved that way, and none stood still.
        std::size_t moved = 0;
        std::size_t still = 0;
        for (const std::size_t lot : lots) {
            const auto own = lot_at(series_of(baths, scatter, lot), together->shape, together->day);
            if (!own) {
                continue;
            }
            moved += own->size * together->size > 0.0 && std::abs(own->size) > kHolds * own->size_se ? 1U : 0U;
            still += std::abs(own->size - together->size) > kHolds * own->size_se &&
                             std::abs(own->size) < 0.5 * std::abs(together->size)
                         ? 1U
                         : 0U;
        }
        shared = moved >= 2 && still == 0;
        if (shared) {
            out.shared = together;
            out.points_at = PointsAt::something_shared;
        } else if (still == 0) {
            out.shared = together;
            out.points_at = PointsAt::cannot_tell;  // only one lot was there on both sides
        }
    }
    // With what is shared taken out, lots one by one.
    std::vector<BathSpeed> rest(baths.begin(), baths.end());
    if (shared) {
        const std::vector<double> x = shape_of(all, together->shape, together->first);
        for (std::size_t i = 0; i < rest.size(); ++i) {
            rest[i].log_speed -= together->size * x[i];
        }
    }
    if (lots.size() > 1) {
        for (const std::size_t lot : lots) {
            if (const auto own = best_shift(series_of(rest, scatter, lot))) {
                out.lots.push_back({lot, *own});
            }
        }
        if (!shared && !out.lots.empty()) {
            out.points_at = PointsAt::one_lot;
            out.shared.reset();
        }
    }
    if (out.shared) {
        const std::size_t first = out.shared->first;
        for (std::size_t kind = 0; kind < baths.front().other.size(); ++kind) {
            const auto is_new = [&](std::size_t i) { return baths[i].other[kind] != baths[first - 1].other[kind]; };
            bool changed = is_new(first);
            for (std::size_t i = 0; i < baths.size(); ++i) {
                changed = changed && is_new(i) == (i >= first);
            }
            if (changed) {
                out.changed_then.push_back(kind);
            }
        }
    }
    return out;
}

}  // namespace tonebath::science
