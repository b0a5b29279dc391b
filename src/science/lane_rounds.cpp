#include "science/lane_rounds.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tonebath::science {

namespace {

constexpr double kShortens = 0.95;  // ours: a reheat is worth its while from 5 % of a piece's time on

double longest_of(std::span<const Lane> lanes) {
    double longest = 0.0;
    for (const Lane& lane : lanes) {
        longest = std::max(longest, lane.out_s - lane.drop_s);
    }
    return longest;
}

double last_out_s(std::span<const Lane> lanes) {
    double last = 0.0;
    for (const Lane& lane : lanes) {
        last = std::max(last, lane.out_s);
    }
    return last;
}

// One round of these doses, collisions avoided where that can be.
Outcome<LaneRound, NotReached> one_round(const BathCourse& course, const RateLaw& law, const RoundRule& rule,
                                         double first_drop_s, std::span<const double> doses_s) {
    LaneRound round;
    if (auto found = suggest_lanes(course, law, first_drop_s, rule.interval_s, doses_s, rule.gap_s)) {
        round.lanes = std::move(*found);
        return round;
    }
    auto plain = plan_lanes(course, law, first_drop_s, rule.interval_s, doses_s);
    if (!plain) {
        return plain.why();
    }
    round.lanes = {.interval_s = rule.interval_s, .lanes = *plain};
    round.collisions = cue_collisions(*plain, rule.gap_s);
    round.lanes.closest_s = std::numeric_limits<double>::infinity();
    for (const CueCollision& one : round.collisions) {
        round.lanes.closest_s = std::min(round.lanes.closest_s, one.apart_s);
    }
    return round;
}

// The longest beginning of the list that keeps within rule.longest_s; nullopt when not even its first piece does.
std::optional<LaneRound> within_longest(const BathCourse& course, const RateLaw& law, const RoundRule& rule,
                                        double first_drop_s, std::span<const double> doses_s) {
    // Another interval moves the border by a piece or two: nothing far beyond the plain plan's is tried.
    std::size_t most = 0;
    while (most < doses_s.size()) {
        const double drop_s = first_drop_s + rule.interval_s * static_cast<double>(most);
        const auto out_s = out_time_s(course, law, drop_s, doses_s[most]);
        if (!out_s || *out_s - drop_s > rule.longest_s) {
            break;
        }
        ++most;
    }
    for (std::size_t count = std::min(doses_s.size(), most + (most > 0 ? 2 : 0)); count > 0; --count) {
        auto round = one_round(course, law, rule, first_drop_s, doses_s.first(count));
        if (round && longest_of(round->lanes.lanes) <= rule.longest_s) {
            return *round;
        }
    }
    return std::nullopt;
}

void number_from(LaneRound& round, std::size_t first) {
    for (Lane& lane : round.lanes.lanes) {
        lane.piece += first;
    }
    for (CueCollision& one : round.collisions) {
        one.first.piece += first;
        one.second.piece += first;
    }
}

}  // namespace

Outcome<std::vector<LaneRound>, NotReached> plan_rounds(const BathCourse& course, const RateLaw& law,
                                                        const RoundRule& rule, std::span<const double> doses_s,
                                                        const Reheat& reheat) {
    const bool sound = std::isfinite(rule.first_drop_s) && rule.interval_s > 0.0 && rule.longest_s > 0.0 &&
                       rule.pause_s >= 0.0 && rule.gap_s > 0.0 && std::isfinite(rule.interval_s + rule.pause_s);
    if (!sound || doses_s.empty()) {
        return NotReached{NeverWhy::bad_input, 0.0};
    }
    std::vector<LaneRound> rounds;
    BathCourse now = course;
    double from_s = rule.first_drop_s;
    std::optional<double> reheated_at_s;
    for (std::size_t done = 0; done < doses_s.size();) {
        const std::span<const double> rest = doses_s.subspan(done);
        std::optional<LaneRound> round;
        if (reheat) {
            round = within_longest(now, law, rule, from_s, rest);
        }
        if (!round && reheat && !reheated_at_s) {
            // The bath is too cold for its first piece as it stands: heat it before, where that shortens the time.
            const double hot_s = from_s + rule.pause_s;
            const BathCourse hot = reheat(now, hot_s);
            const auto cold_out = out_time_s(now, law, from_s, rest.front());
            const auto hot_out = out_time_s(hot, law, hot_s, rest.front());
            if (hot_out && (!cold_out || *hot_out - hot_s < kShortens * (*cold_out - from_s))) {
                now = hot;
                from_s = hot_s;
                reheated_at_s = hot_s;
                continue;
            }
        }
        if (!round) {
            auto whole = one_round(now, law, rule, from_s, rest);
            if (!whole) {
                return whole.why();
            }
            round = std::move(*whole);
            round->too_long = longest_of(round->lanes.lanes) > rule.longest_s;
        }
        round->reheated_at_s = reheated_at_s;
        const std::size_t count = round->lanes.lanes.size();
        number_from(*round, done);
        from_s = last_out_s(round->lanes.lanes) + rule.pause_s;
        done += count;
        rounds.push_back(std::move(*round));
        if (done < doses_s.size()) {
            now = reheat(now, from_s);
            reheated_at_s = from_s;
        }
    }
    return rounds;
}

}  // namespace tonebath::science
