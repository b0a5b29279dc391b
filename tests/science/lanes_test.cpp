#include "science/lanes.hpp"

#include "science/lane_rounds.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

const RateLaw kLaw{.ea_kj_per_mol = 59.8};
BathCourse falling() {
    return {.temp = TempCurve::newton(55.0, 20.0, 0.035)};
}

}  // namespace

TEST_CASE("twelve pieces dropped every 15 s into a falling bath") {
    // 45 s at 55 °C fresh; bath 55 °C at the first drop, k 0.035 /min, room 20 °C, rate law of the two strips:
    // 46.4 s in the bath for the first, 57.9 s for the last, outs 16.05 s apart on average (worked out apart from us).
    const double dose = convert_dose(45.0, 55.0, kLaw).value();
    const auto lanes = plan_lanes(falling(), kLaw, 0.0, 15.0, std::vector<double>(12, dose)).value();
    REQUIRE(lanes.size() == 12);
    CHECK_THAT(lanes.front().out_s - lanes.front().drop_s, WithinAbs(46.4, 0.05));
    CHECK_THAT(lanes.back().out_s - lanes.back().drop_s, WithinAbs(57.9, 0.05));
    CHECK_THAT((lanes.back().out_s - lanes.front().out_s) / 11.0, WithinAbs(16.05, 0.005));
    CHECK(lanes[3].drop_s == 45.0);
    for (const Lane& lane : lanes) {
        CHECK_THAT(dose_s(falling(), kLaw, lane.drop_s, lane.out_s).value(), WithinRel(dose, 1e-9));
    }
    // The fourth drop comes at 45 s, the first out at 46.4 s.
    const auto collisions = cue_collisions(lanes);
    REQUIRE_FALSE(collisions.empty());
    CHECK(collisions[0].first.kind == CueKind::drop);
    CHECK(collisions[0].first.piece == 3);
    CHECK(collisions[0].second.kind == CueKind::out);
    CHECK(collisions[0].second.piece == 0);
    CHECK_THAT(collisions[0].apart_s, WithinAbs(1.4, 0.05));
}

TEST_CASE("a suggestion has no collision and stays near what was wanted") {
    const double dose = convert_dose(45.0, 55.0, kLaw).value();
    const std::vector<double> doses(12, dose);
    const LaneSuggestion s = suggest_lanes(falling(), kLaw, 0.0, 15.0, doses).value();
    CHECK(cue_collisions(s.lanes).empty());
    CHECK(s.closest_s >= kCueGap_s);
    CHECK(s.order == LaneOrder::as_listed);
    // No nearer half second is free of collisions.
    for (double interval = 4.0; interval < 60.0; interval += 0.5) {
        if (std::abs(interval - 15.0) < std::abs(s.interval_s - 15.0)) {
            const auto lanes = plan_lanes(falling(), kLaw, 0.0, interval, doses).value();
            CHECK_FALSE(cue_collisions(lanes).empty());
        }
    }
}

TEST_CASE("what has no collision is left as it is") {
    const std::vector<double> doses(3, 30.0);
    const BathCourse held{.temp = TempCurve::constant(60.0)};
    const LaneSuggestion s = suggest_lanes(held, {}, 0.0, 41.3, doses).value();
    CHECK(s.interval_s == 41.3);
}

TEST_CASE("another order helps where no interval does") {
    // Two pieces, 60 s then 3 s: whatever the interval, the second's own drop and out are too near each other.
    const BathCourse held{.temp = TempCurve::constant(60.0)};
    CHECK_FALSE(suggest_lanes(held, {}, 0.0, 15.0, std::vector<double>{60.0, 3.0}));
    // 15 s then 10 s, up to 8 s apart: the outs fall within 4 s. The other way round 4 to 6 s apart will do.
    const std::vector<double> doses = {15.0, 10.0};
    const LaneSuggestion s = suggest_lanes(held, {}, 0.0, 8.0, doses, 4.0, 8.0).value();
    CHECK(s.order == LaneOrder::shortest_first);
    CHECK(s.interval_s == 6.0);
    CHECK(cue_collisions(s.lanes).empty());
    std::vector<bool> seen(2, false);
    for (const Lane& lane : s.lanes) {
        CHECK(lane.dose_s == doses[lane.piece]);
        seen[lane.piece] = true;
    }
    CHECK(seen == std::vector<bool>(2, true));
}

TEST_CASE("collisions are exactly the cues nearer than the gap") {
    CHECK(rc::check("against every pair", [] {
        const auto count = *rc::gen::inRange<std::size_t>(1, 8);
        std::vector<Lane> lanes;
        for (std::size_t i = 0; i < count; ++i) {
            const double drop = *rc::gen::inRange(0, 200);
            lanes.push_back({i, drop, drop + *rc::gen::inRange(1, 100), 1.0});
        }
        std::vector<double> times;
        for (const Lane& lane : lanes) {
            times.push_back(lane.drop_s);
            times.push_back(lane.out_s);
        }
        bool any = false;
        for (std::size_t i = 0; i < times.size(); ++i) {
            for (std::size_t j = i + 1; j < times.size(); ++j) {
                any = any || std::abs(times[i] - times[j]) < kCueGap_s;
            }
        }
        RC_ASSERT(any == !cue_collisions(lanes).empty());
    }));
}

TEST_CASE("lanes that cannot be planned say so") {
    const std::vector<double> doses = {30.0, 0.0};
    CHECK(plan_lanes(falling(), kLaw, 0.0, 15.0, doses).why().why == NeverWhy::bad_input);
    CHECK(plan_lanes(falling(), kLaw, 0.0, 0.0, std::vector<double>{30.0}).why().why == NeverWhy::bad_input);
    CHECK(plan_lanes(falling(), kLaw, std::nan(""), 15.0, std::vector<double>{30.0}).why().why == NeverWhy::bad_input);
    CHECK(plan_lanes(falling(), kLaw, 0.0, 15.0, {}).value().empty());
    CHECK_FALSE(suggest_lanes(falling(), kLaw, 0.0, 15.0, {}));
    CHECK_FALSE(suggest_lanes(falling(), kLaw, 0.0, -15.0, std::vector<double>{30.0}));
    const RateLaw dying{.fade = FadeKind::zero_order, .fade_per_h = 60.0};  // spent in a minute
    CHECK(plan_lanes(falling(), dying, 0.0, 15.0, std::vector<double>(9, 20.0)).why().why == NeverWhy::bath_spent);
    CHECK_FALSE(suggest_lanes(falling(), dying, 0.0, 15.0, std::vector<double>(9, 20.0)));
}

namespace {

// The bowl of row A5, brought back to 55 °C at a moment.
BathCourse hot_again(const BathCourse&, double at_s) {
    const std::vector<Reading> readings{{.t_s = 0.0, .temp_c = 55.0}, {.t_s = at_s, .temp_c = 55.0, .jump = true}};
    const Surroundings around{.room_c = 20.0, .vessel = {.k_per_min = 0.035, .log_sd = 1e-3}};
    return {.temp = temp_curve(readings, around).value()};
}

}  // namespace

TEST_CASE("a batch that keeps within practical times is one round, and equals the plain plan") {
    const double dose = convert_dose(45.0, 55.0, kLaw).value();
    const std::vector<double> doses(12, dose);
    const auto rounds = plan_rounds(falling(), kLaw, {}, doses, hot_again).value();
    REQUIRE(rounds.size() == 1);
    CHECK_FALSE(rounds[0].reheated_at_s);
    CHECK_FALSE(rounds[0].too_long);
    CHECK(rounds[0].collisions.empty());
    const auto plain = plan_lanes(falling(), kLaw, 0.0, rounds[0].lanes.interval_s, doses).value();
    for (std::size_t i = 0; i < plain.size(); ++i) {
        CHECK(rounds[0].lanes.lanes[i].out_s == plain[i].out_s);
    }
}

TEST_CASE("later pieces that would hang too long get a reheat before them") {
    const double dose = convert_dose(45.0, 55.0, kLaw).value();
    const std::vector<double> doses(30, dose);
    const RoundRule rule{.interval_s = 20.0, .longest_s = 55.0, .pause_s = 300.0};
    // Without a reheat the last ones hang far longer than 55 s.
    const auto alone = plan_rounds(falling(), kLaw, rule, doses).value();
    REQUIRE(alone.size() == 1);
    CHECK(alone[0].too_long);
    const Lane& last = alone[0].lanes.lanes.back();
    CHECK(last.out_s - last.drop_s > 65.0);

    const auto rounds = plan_rounds(falling(), kLaw, rule, doses, hot_again).value();
    REQUIRE(rounds.size() > 1);
    std::vector<int> seen(doses.size(), 0);
    double out_before_s = 0.0;
    for (std::size_t r = 0; r < rounds.size(); ++r) {
        const LaneRound& round = rounds[r];
        CHECK(round.reheated_at_s.has_value() == (r > 0));
        CHECK_FALSE(round.too_long);
        CHECK(round.collisions.empty());
        const BathCourse course = r == 0 ? falling() : hot_again(falling(), *round.reheated_at_s);
        for (const Lane& lane : round.lanes.lanes) {
            ++seen[lane.piece];
            CHECK(lane.out_s - lane.drop_s <= rule.longest_s);
            CHECK_THAT(dose_s(course, kLaw, lane.drop_s, lane.out_s).value(), WithinRel(dose, 1e-6));
            if (r > 0) {
                CHECK(lane.drop_s >= out_before_s + rule.pause_s);
            }
        }
        for (const Lane& lane : round.lanes.lanes) {
            out_before_s = std::max(out_before_s, lane.out_s);
        }
        // Hot again, the first of each round takes what the very first took: 46.4 s (within the curve's own fit).
        CHECK_THAT(round.lanes.lanes.front().out_s - round.lanes.lanes.front().drop_s, WithinAbs(46.4, 0.1));
    }
    for (const int count : seen) {
        CHECK(count == 1);
    }
}

TEST_CASE("a reheat that would not help is not suggested") {
    // 200 s at 55 °C: no reheat to 55 °C brings it under 90 s.
    const std::vector<double> doses(3, convert_dose(200.0, 55.0, kLaw).value());
    const auto rounds = plan_rounds(falling(), kLaw, {}, doses, hot_again).value();
    REQUIRE(rounds.size() == 1);
    CHECK(rounds[0].too_long);
    CHECK_FALSE(rounds[0].reheated_at_s);
    CHECK_FALSE(plan_rounds(falling(), kLaw, {.interval_s = 0.0}, doses));
    CHECK_FALSE(plan_rounds(falling(), kLaw, {}, std::vector<double>{}));
}
