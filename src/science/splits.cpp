#include "science/splits.hpp"

#include <cmath>
#include <numeric>

namespace tonebath::science {

namespace {

constexpr double kShareSlack = 1e-9;

std::optional<SplitWhy> fault_of(const SplitOrder& order, std::span<const double> shares) {
    const bool finite = std::isfinite(order.first_drop_s) && std::isfinite(order.dose_s) &&
                        std::isfinite(order.between_s) && std::isfinite(order.carry_over_s);
    if (!finite || order.dose_s <= 0.0 || order.between_s < 0.0 || order.carry_over_s < 0.0) {
        return SplitWhy::bad_input;
    }
    if (shares.empty()) {
        return SplitWhy::no_dips;
    }
    for (const double share : shares) {
        if (!std::isfinite(share) || share <= 0.0) {
            return SplitWhy::bad_input;
        }
    }
    if (std::accumulate(shares.begin(), shares.end(), 0.0) > 1.0 + kShareSlack) {
        return SplitWhy::adds_to_more;
    }
    if (shares.size() > 1 && order.between_s < order.carry_over_s) {
        return SplitWhy::dip_before_rinsed;
    }
    return std::nullopt;
}

}  // namespace

std::vector<double> equal_shares(std::size_t n) {
    return n == 0 ? std::vector<double>{} : std::vector<double>(n, 1.0 / static_cast<double>(n));
}

Outcome<std::vector<PlannedDip>, SplitWhy> split_dose(const BathCourse& course, const RateLaw& law,
                                                      const SplitOrder& order, std::span<const double> shares) {
    if (const auto fault = fault_of(order, shares)) {
        return *fault;
    }
    if (!is_sound(course, law)) {
        return SplitWhy::bad_input;
    }
    std::vector<PlannedDip> dips;
    double in_s = order.first_drop_s;
    for (const double share : shares) {
        const double part_s = share * order.dose_s;
        const auto rinsed_s = out_time_s(course, law, in_s, part_s);
        if (!rinsed_s) {
            return SplitWhy::never_reached;
        }
        const double out_s = *rinsed_s - order.carry_over_s;
        if (out_s <= in_s) {
            return SplitWhy::carry_over_alone;
        }
        dips.push_back({in_s, out_s, part_s});
        in_s = out_s + order.between_s;
    }
    return dips;
}

}  // namespace tonebath::science
