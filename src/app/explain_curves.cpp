#include "app/explain_records.hpp"

#include "science/least_squares.hpp"
#include "science/spread.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr std::size_t kFewestForCurve = 12;  // ours
constexpr double kFarOff = 3.5;              // ours: robust sd beyond which a point does not shape the curve
constexpr double kHeatPriorSd_kj = 10.0;     // ours: by which the effect of heat on one metal may differ from all metals'

}  // namespace

std::optional<double> spread_within(Groups& groups, double slope) {
    std::vector<double> off;
    for (auto& [key, group] : groups) {
        std::array<double, 3> sums{};
        for (const Pair& one : group) {
            sums[0] += one.used ? one.weight : 0.0;
            sums[1] += one.used ? one.weight * one.x : 0.0;
            sums[2] += one.used ? one.weight * one.y : 0.0;
        }
        const double n = static_cast<double>(std::ranges::count_if(group, &Pair::used));
        for (Pair& one : group) {
            one.x -= n > 0.0 ? sums[1] / sums[0] : 0.0;
            one.y -= n > 0.0 ? sums[2] / sums[0] : 0.0;
            if (n > 1.5) {
                off.push_back(std::sqrt(one.weight * n / (n - 1.0)) * std::abs(one.y - slope * one.x));
            }
        }
    }
    return off.size() < kFewestForCurve ? std::nullopt : std::optional(1.4826 * science::median_of(off));
}

std::optional<MetalHeat> slope_within(Groups groups) {
    MetalHeat out;
    for (int round = 0; round < 4; ++round) {
        const auto spread = spread_within(groups, out.ea_kj_per_mol);
        if (!spread) {
            return std::nullopt;
        }
        const double square = std::max(*spread * *spread, 1e-4);
        double xx = 1.0 / (kHeatPriorSd_kj * kHeatPriorSd_kj);
        double xy = 0.0;
        for (auto& [key, group] : groups) {
            for (Pair& one : group) {
                one.used = group.size() > 1 && std::sqrt(one.weight) * std::abs(one.y - out.ea_kj_per_mol * one.x) <=
                                                   kFarOff * std::sqrt(square);
                xx += one.used ? one.weight * one.x * one.x / square : 0.0;
                xy += one.used ? one.weight * one.x * one.y / square : 0.0;
            }
        }
        out.ea_kj_per_mol = xy / xx;
        out.sd = 1.0 / std::sqrt(xx);
    }
    return out;
}

double LightnessCurve::held(double x) const { return at(std::clamp(x, low, high)); }

double LightnessCurve::dose_of(double l) const {
    double least = low;
    double most = high;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (least + most);
        (at(middle) > l ? least : most) = middle;
    }
    return 0.5 * (least + most);
}

double LightnessCurve::at_beyond(double x) const {
    return x < low ? at(low) + slope(low) * std::expm1(x - low) : x > high ? at(high) + slope(high) * (x - high) : at(x);
}

double LightnessCurve::dose_beyond(double l) const {
    constexpr double kPalest = 0.05;  // ours: of the palest dose tried; below, lightness tells no more
    return l > at(low)    ? low + std::log(std::max(kPalest, 1.0 + (l - at(low)) / slope(low)))
           : l < at(high) ? high + (l - at(high)) / slope(high)
                          : dose_of(l);
}

std::optional<LightnessCurve> lightness_curve(const std::vector<std::pair<double, double>>& points) {
    std::vector<bool> used(points.size(), true);
    std::optional<LightnessCurve> curve;
    for (int round = 0; round < 4; ++round) {
        std::vector<double> x;
        std::vector<double> y;
        LightnessCurve next;
        for (std::size_t i = 0; i < points.size(); ++i) {
            if (used[i]) {
                next.low = y.empty() ? points[i].first : std::min(next.low, points[i].first);
                next.high = y.empty() ? points[i].first : std::max(next.high, points[i].first);
                x.insert(x.end(), {1.0, points[i].first, points[i].first * points[i].first});
                y.push_back(points[i].second);
            }
        }
        if (y.size() < kFewestForCurve) {
            return std::nullopt;
        }
        next.points = y.size();
        auto fit = science::linear_least_squares(x, y);
        if (!fit) {
            return std::nullopt;
        }
        next.a = fit->coef[0];
        next.b = fit->coef[1];
        next.c = fit->coef[2];
        std::vector<double> off;
        for (const auto& [dose, l] : points) {
            off.push_back(std::abs(l - next.at(dose)));
        }
        next.sd = std::max(LightnessCurve::kLeastSd, 1.4826 * science::median_of(off));
        for (std::size_t i = 0; i < points.size(); ++i) {
            used[i] = off[i] <= kFarOff * next.sd;
        }
        curve = next;
    }
    return curve->slope(curve->low) < 0.0 && curve->slope(curve->high) < 0.0 ? curve : std::nullopt;
}

std::vector<science::ToneAccount> accounts_of(const Group& group) {
    std::vector<science::ToneAccount> accounts;
    for (const ExplainRecord* one : group) {
        accounts.push_back(one->account);
    }
    return accounts;
}

void leave_out_odd(Group& group) {
    std::vector<std::optional<double>> off;
    double reading_sd = 0.0;
    for (const ExplainRecord* one : group) {
        off.emplace_back(one->account.left_over());
        reading_sd += std::hypot(one->account.seen_sd, one->account.scatter_sd) / static_cast<double>(group.size());
    }
    const auto spread = science::batch_spread(off, reading_sd);
    if (!spread || group.size() < science::kFewestForOdd) {
        return;
    }
    for (auto odd = spread->odd.rbegin(); odd != spread->odd.rend(); ++odd) {
        group.erase(group.begin() + static_cast<std::ptrdiff_t>(*odd));
    }
}

}  // namespace tonebath::app
