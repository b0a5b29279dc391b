// Several pieces in one cooling bath, each with its own out-time; cues that fall too close together.
#pragma once

#include "science/dose.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

inline constexpr double kCueGap_s = 4.0;  // two cues nearer than this cannot be served by one pair of hands (ours)

struct Lane {
    std::size_t piece = 0;  // place in the list of doses that was asked for
    double drop_s = 0.0;
    double out_s = 0.0;
    double dose_s = 0.0;
};

enum class CueKind { drop, out };
struct Cue {
    std::size_t piece = 0;
    CueKind kind = CueKind::drop;
    double t_s = 0.0;
};
struct CueCollision {
    Cue first;
    Cue second;
    double apart_s = 0.0;
};

// Drops every interval_s (above zero) in the order of the list. The refusal is that of the first piece without an out.
[[nodiscard]] Outcome<std::vector<Lane>, NotReached> plan_lanes(const BathCourse& course, const RateLaw& law,
                                                                double first_drop_s, double interval_s,
                                                                std::span<const double> doses_s);

// All cues in order of time (a drop before an out at the same time).
[[nodiscard]] std::vector<Cue> cues_in_order(std::span<const Lane> lanes);
// Every neighbouring pair of cues nearer than gap_s, a lane's own drop and out included.
[[nodiscard]] std::vector<CueCollision> cue_collisions(std::span<const Lane> lanes, double gap_s = kCueGap_s);

enum class LaneOrder { as_listed, longest_first, shortest_first };
struct LaneSuggestion {
    double interval_s = 0.0;
    LaneOrder order = LaneOrder::as_listed;
    std::vector<Lane> lanes;  // in order of dropping; Lane::piece is still the place in the list asked for
    double closest_s = 0.0;   // smallest distance of two cues
};
// Nearest interval to interval_s, in whole half seconds from gap_s up to longest_interval_s, without any collision;
// as listed if that can be, else another order. nullopt when there is none, or on bad input.
[[nodiscard]] std::optional<LaneSuggestion> suggest_lanes(const BathCourse& course, const RateLaw& law,
                                                          double first_drop_s, double interval_s,
                                                          std::span<const double> doses_s, double gap_s = kCueGap_s,
                                                          double longest_interval_s = 180.0);

}  // namespace tonebath::science
