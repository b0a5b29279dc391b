#include "science/lanes.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numeric>
#include <tuple>

namespace tonebath::science {

namespace {

constexpr double kIntervalStep_s = 0.5;

// Pieces in the order given by `places`, drops every interval_s.
Outcome<std::vector<Lane>, NotReached> plan_in_order(const BathCourse& course, const RateLaw& law, double first_drop_s,
                                                     double interval_s, std::span<const double> doses_s,
                                                     std::span<const std::size_t> places) {
    std::vector<Lane> lanes;
    for (const std::size_t place : places) {
        const double drop_s = first_drop_s + interval_s * static_cast<double>(lanes.size());
        const auto out_s = out_time_s(course, law, drop_s, doses_s[place]);
        if (!out_s) {
            return out_s.why();
        }
        lanes.push_back({place, drop_s, *out_s, doses_s[place]});
    }
    return lanes;
}

std::vector<std::size_t> places_in(LaneOrder order, std::span<const double> doses_s) {
    std::vector<std::size_t> places(doses_s.size());
    std::iota(places.begin(), places.end(), std::size_t{0});
    const auto before = [&](std::size_t a, std::size_t b) {
        if (order == LaneOrder::as_listed || doses_s[a] == doses_s[b]) {
            return a < b;
        }
        return order == LaneOrder::longest_first ? doses_s[a] > doses_s[b] : doses_s[a] < doses_s[b];
    };
    std::sort(places.begin(), places.end(), before);
    return places;
}

double closest_cues_s(std::span<const Lane> lanes) {
    const std::vector<Cue> cues = cues_in_order(lanes);
    double closest_s = std::numeric_limits<double>::infinity();
    for (std::size_t i = 1; i < cues.size(); ++i) {
        closest_s = std::min(closest_s, cues[i].t_s - cues[i - 1].t_s);
    }
    return closest_s;
}

// The one asked for, then whole half seconds, nearest first.
std::vector<double> intervals_to_try(double wanted_s, double least_s, double most_s) {
    std::vector<double> intervals = {wanted_s};
    for (double i = std::ceil(least_s / kIntervalStep_s); i * kIntervalStep_s <= most_s; i += 1.0) {
        intervals.push_back(i * kIntervalStep_s);
    }
    std::sort(intervals.begin(), intervals.end(), [&](double a, double b) {
        const double off_a = std::abs(a - wanted_s);
        const double off_b = std::abs(b - wanted_s);
        return off_a != off_b ? off_a < off_b : a < b;
    });
    return intervals;
}

}  // namespace

Outcome<std::vector<Lane>, NotReached> plan_lanes(const BathCourse& course, const RateLaw& law, double first_drop_s,
                                                  double interval_s, std::span<const double> doses_s) {
    if (!std::isfinite(first_drop_s) || !std::isfinite(interval_s) || interval_s <= 0.0) {
        return NotReached{NeverWhy::bad_input, 0.0};
    }
    return plan_in_order(course, law, first_drop_s, interval_s, doses_s, places_in(LaneOrder::as_listed, doses_s));
}

std::vector<Cue> cues_in_order(std::span<const Lane> lanes) {
    std::vector<Cue> cues;
    for (const Lane& lane : lanes) {
        cues.push_back({lane.piece, CueKind::drop, lane.drop_s});
        cues.push_back({lane.piece, CueKind::out, lane.out_s});
    }
    std::sort(cues.begin(), cues.end(), [](const Cue& a, const Cue& b) {
        return std::tuple(a.t_s, a.kind, a.piece) < std::tuple(b.t_s, b.kind, b.piece);
    });
    return cues;
}

std::vector<CueCollision> cue_collisions(std::span<const Lane> lanes, double gap_s) {
    const std::vector<Cue> cues = cues_in_order(lanes);
    std::vector<CueCollision> collisions;
    for (std::size_t i = 1; i < cues.size(); ++i) {
        const double apart_s = cues[i].t_s - cues[i - 1].t_s;
        if (apart_s < gap_s) {
            collisions.push_back({cues[i - 1], cues[i], apart_s});
        }
    }
    return collisions;
}

std::optional<LaneSuggestion> suggest_lanes(const BathCourse& course, const RateLaw& law, double first_drop_s,
                                            double interval_s, std::span<const double> doses_s, double gap_s,
                                            double longest_interval_s) {
    const bool sound = std::isfinite(first_drop_s) && std::isfinite(interval_s) && interval_s > 0.0 &&
                       std::isfinite(gap_s) && gap_s > 0.0 && std::isfinite(longest_interval_s) &&
                       longest_interval_s <= kLongestDip_s && !doses_s.empty();
    if (!sound) {
        return std::nullopt;
    }
    const bool all_alike = std::adjacent_find(doses_s.begin(), doses_s.end(), std::not_equal_to<>{}) == doses_s.end();
    for (const LaneOrder order : {LaneOrder::as_listed, LaneOrder::longest_first, LaneOrder::shortest_first}) {
        if (all_alike && order != LaneOrder::as_listed) {
            break;
        }
        const std::vector<std::size_t> places = places_in(order, doses_s);
        for (const double interval : intervals_to_try(interval_s, gap_s, longest_interval_s)) {
            const auto lanes = plan_in_order(course, law, first_drop_s, interval, doses_s, places);
            if (lanes && cue_collisions(*lanes, gap_s).empty()) {
                return LaneSuggestion{interval, order, *lanes, closest_cues_s(*lanes)};
            }
        }
    }
    return std::nullopt;
}

}  // namespace tonebath::science
