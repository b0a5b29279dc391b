// A batch in a falling bath, in rounds: where the later pieces would hang too long, the bath is reheated before them.
#pragma once

#include "science/lanes.hpp"

#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

inline constexpr double kLongestPractical_s = 90.0;   // ours: 20 to 90 s can be timed and watched by hand
inline constexpr double kShortestPractical_s = 20.0;
inline constexpr double kReheatPause_s = 300.0;       // ours: warming, stirring and reading a bowl again

struct RoundRule {
    double first_drop_s = 0.0;
    double interval_s = 15.0;  // wanted between drops, above zero
    double longest_s = kLongestPractical_s;
    double pause_s = kReheatPause_s;
    double gap_s = kCueGap_s;
};

struct LaneRound {
    std::optional<double> reheated_at_s;  // the bath is hot again from here; none: as it is
    LaneSuggestion lanes;                 // Lane::piece is the place in the list of all doses
    std::vector<CueCollision> collisions;  // empty where an interval or an order avoids them all
    bool too_long = false;                // some piece hangs longer than longest_s, and no reheat would help it
};

// The course as it goes on when the bath is brought back to heat at at_s.
using Reheat = std::function<BathCourse(const BathCourse& before, double at_s)>;

// Rounds in time. A reheat stands before the first piece that would hang longer than rule.longest_s, where it shortens
// that piece's time; with no `reheat` there is one round. The refusal is that of the first piece without an out-time.
[[nodiscard]] Outcome<std::vector<LaneRound>, NotReached> plan_rounds(const BathCourse& course, const RateLaw& law,
                                                                      const RoundRule& rule,
                                                                      std::span<const double> doses_s,
                                                                      const Reheat& reheat = {});

}  // namespace tonebath::science
