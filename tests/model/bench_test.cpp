// The one key of the bench: design rules "the key names the lane it acts on", "a drop and an out that fall within 4 s are
// never on one key", and row G1 "20 presses a second count once".
#include "model/bench.hpp"

#include <catch2/catch.hpp>

#include <random>
#include <vector>

using namespace tonebath;

namespace {

Lane waiting(int number, std::optional<double> turn = std::nullopt) {
    return {.number = number, .state = LaneState::waiting, .drop_in_s = turn};
}
Lane in_bath(int number, std::optional<double> out) {
    return {.number = number, .state = LaneState::in_bath, .out_in_s = out};
}
Lane rinsing(int number, std::optional<double> left) {
    return {.number = number, .state = LaneState::rinsing, .rinse_left_s = left};
}

}  // namespace

TEST_CASE("the key acts on the lane whose cue is next") {
    SECTION("one piece from start to end") {
        CHECK(key_act(std::vector{waiting(1)}) == KeyAct{BenchAct::drop, 1});
        CHECK(key_act(std::vector{in_bath(1, 23.0)}) == KeyAct{BenchAct::lift_out, 1});
        CHECK(key_act(std::vector{in_bath(1, -5.0)}) == KeyAct{BenchAct::lift_out, 1});
        CHECK(key_act(std::vector{rinsing(1, 12.0)}) == KeyAct{BenchAct::end_rinse, 1});
        CHECK(key_act(std::vector{Lane{.number = 1, .state = LaneState::done}}) == KeyAct{});
        CHECK(key_act({}) == KeyAct{});
    }
    SECTION("a free lane is not dropped while another is in the bath without being picked") {
        CHECK(key_act(std::vector{in_bath(1, 40.0), waiting(2)}) == KeyAct{BenchAct::lift_out, 1});
        CHECK(key_act(std::vector{in_bath(1, 40.0), waiting(2)}, 2) == KeyAct{BenchAct::drop, 2});
    }
    SECTION("a turn that has come goes before an out that is far off") {
        CHECK(key_act(std::vector{in_bath(1, 31.0), waiting(2, 0.0)}) == KeyAct{BenchAct::drop, 2});
    }
    SECTION("an out within 4 s wins over a turn that has come") {
        CHECK(key_act(std::vector{in_bath(1, 3.9), waiting(2, -1.0)}) == KeyAct{BenchAct::lift_out, 1});
    }
    SECTION("a dip without a plan can always be taken out") {
        CHECK(key_act(std::vector{in_bath(3, std::nullopt), waiting(4)}) == KeyAct{BenchAct::lift_out, 3});
    }
    SECTION("a rinse that is over goes before an out that is far off") {
        CHECK(key_act(std::vector{rinsing(1, -1.0), in_bath(2, 20.0)}) == KeyAct{BenchAct::end_rinse, 1});
        CHECK(key_act(std::vector{rinsing(1, -1.0), in_bath(2, 2.0)}) == KeyAct{BenchAct::lift_out, 2});
    }
}

TEST_CASE("whatever the lanes, a piece due out within 4 s is the one on the key") {
    std::mt19937 random(20260331);
    std::uniform_real_distribution<double> seconds(-10.0, 60.0);
    std::uniform_int_distribution<int> state(0, 3);
    std::uniform_int_distribution<int> count(1, 24);
    int due_seen = 0;
    for (int round = 0; round < 5000; ++round) {
        std::vector<Lane> lanes;
        const int n = count(random);
        double soonest_out = 1e9;
        for (int i = 1; i <= n; ++i) {
            Lane lane{.number = i, .state = static_cast<LaneState>(state(random))};
            if (lane.state == LaneState::waiting) {
                lane.drop_in_s = seconds(random);
            } else if (lane.state == LaneState::in_bath) {
                lane.out_in_s = seconds(random);
                soonest_out = std::min(soonest_out, *lane.out_in_s);
            }
            lanes.push_back(lane);
        }
        const KeyAct act = key_act(lanes);
        if (soonest_out <= kCueGap_s) {
            ++due_seen;
            REQUIRE(act.act == BenchAct::lift_out);
            REQUIRE(*lanes[static_cast<std::size_t>(act.lane - 1)].out_in_s == soonest_out);
        }
        if (act.act != BenchAct::none) {
            REQUIRE(act_of(lanes[static_cast<std::size_t>(act.lane - 1)]) == act.act);
        }
    }
    CHECK(due_seen > 1000);
}

TEST_CASE("cues of two lanes within 4 s are named before the drop") {
    const std::vector lanes{in_bath(1, 20.0), waiting(2, 18.0), waiting(3, 40.0)};
    const auto clashes = cue_clashes(lanes);
    REQUIRE(clashes.size() == 1);
    CHECK(clashes[0].first_lane == 2);
    CHECK(clashes[0].second_lane == 1);
    CHECK(clashes[0].in_s == 18.0);
    CHECK(cue_clashes(std::vector{in_bath(1, 20.0), waiting(2, 16.0)}).empty());
}

TEST_CASE("20 presses in a second count once") {
    Debounce key;
    int counted = 0;
    for (int i = 0; i < 20; ++i) {
        counted += key.counts(5000 + i * 50) ? 1 : 0;
    }
    CHECK(counted == 1);
    CHECK(key.counts(5000 + 19 * 50 + 300));
    CHECK_FALSE(key.counts(5000 + 19 * 50 + 599));
    SECTION("two deliberate presses both count") {
        Debounce other;
        CHECK(other.counts(0));
        CHECK(other.counts(300));
    }
    SECTION("a boot clock that starts again is a new start") {
        Debounce other;
        CHECK(other.counts(1'000'000));
        CHECK(other.counts(10));
    }
}

TEST_CASE("the interval on offer is the least one that keeps all cues apart") {
    // In the bath until 20 s; drops every 15 s from now on, each 30 s in: outs at 45, 60, 75, drops at 15, 30, 45.
    const auto with_out = [](int number, double drop_s) {
        Lane lane = waiting(number, drop_s);
        lane.out_in_s = drop_s + 30.0;
        return lane;
    };
    const std::vector lanes{with_out(1, 15.0), with_out(2, 30.0), with_out(3, 45.0)};
    REQUIRE_FALSE(cue_clashes(lanes).empty());  // the third drop falls on the first out
    const auto apart_s = interval_apart_s(lanes, 15.0);
    REQUIRE(apart_s);
    CHECK(*apart_s > 15.0);
    const auto at_interval = [&](double every_s) {
        std::vector<Lane> moved;
        for (int turn = 1; turn <= 3; ++turn) {
            moved.push_back(with_out(turn, every_s * turn));
        }
        return cue_clashes(moved);
    };
    CHECK(at_interval(*apart_s).empty());
    CHECK_FALSE(at_interval(*apart_s - 1.0).empty());
    CHECK(interval_apart_s(std::vector{with_out(1, 15.0)}, 15.0) == 15.0);
    // Two pieces due out together cannot be helped by any interval.
    CHECK_FALSE(interval_apart_s(std::vector{in_bath(1, 20.0), in_bath(2, 21.0)}, 15.0));
}
