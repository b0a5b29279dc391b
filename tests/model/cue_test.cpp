// Cues: counted down, moved by a reading, never two at once and never late.
#include "model/cue.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace tonebath;

namespace {

Lane in_bath(int number, double out_in_s, std::optional<double> look_in_s = {}) {
    return {.number = number, .state = LaneState::in_bath, .out_in_s = out_in_s, .look_in_s = look_in_s};
}

// What is heard when the clock is asked every `step_ms` from 0 on.
std::vector<std::pair<std::int64_t, Cue>> heard(CueQueue& queue, std::int64_t until_ms, std::int64_t step_ms) {
    std::vector<std::pair<std::int64_t, Cue>> all;
    for (std::int64_t now = 0; now <= until_ms; now += step_ms) {
        while (const auto cue = queue.take(now)) {
            all.emplace_back(now, *cue);
        }
    }
    return all;
}

}  // namespace

TEST_CASE("three, two, one, out, with the look before and the rinse after") {
    const Lane rinsing{.number = 2, .state = LaneState::rinsing, .rinse_left_s = 20.0};
    CueQueue queue;
    queue.set(cues_of(std::vector{in_bath(1, 10.0, 5.0), rinsing}, 0));
    const auto all = heard(queue, 30'000, 10);
    std::vector<std::pair<CueKind, std::int64_t>> got;
    for (const auto& [now, cue] : all) {
        got.emplace_back(cue.kind, now);
    }
    CHECK(got == std::vector<std::pair<CueKind, std::int64_t>>{{CueKind::look, 5000}, {CueKind::three, 7000}, {CueKind::two, 8000}, {CueKind::one, 9000},
                                                              {CueKind::out, 10'000}, {CueKind::rinse_done, 20'000}});
}

TEST_CASE("whatever the lanes and however the clock is asked, no cue is late or meets another") {
    const std::int64_t step_ms = GENERATE(7, 40, 100, 190);
    std::vector<Lane> lanes;
    for (int i = 1; i <= 24; ++i) {
        lanes.push_back(in_bath(i, 4.0 + 1.7 * i, 2.0 + 1.5 * i));
    }
    CueQueue queue;
    queue.set(cues_of(lanes, 0));
    const auto all = heard(queue, 60'000, step_ms);
    REQUIRE(all.size() >= 24);
    for (std::size_t i = 0; i < all.size(); ++i) {
        CHECK(all[i].first - all[i].second.at_ms >= 0);
        CHECK(all[i].first - all[i].second.at_ms <= kLatestCue_ms);
        if (i > 0 && all[i].second.kind != CueKind::out) {
            CHECK(all[i].second.at_ms - all[i - 1].second.at_ms >= kCueSpace_ms);
        }
    }
    const auto outs = std::count_if(all.begin(), all.end(), [](const auto& one) { return one.second.kind == CueKind::out; });
    CHECK(outs == 24);  // none is lost: an out cuts what is heard
}

TEST_CASE("a reading moves the cues that wait; a cue that was given is not given twice") {
    CueQueue queue;
    queue.set(cues_of(std::vector{in_bath(1, 3.0)}, 0));
    REQUIRE(queue.take(0));  // three
    // Planned anew in each frame, a little different each time.
    queue.set(cues_of(std::vector{in_bath(1, 3.05)}, 0));
    CHECK(queue.next_ms() == 1050);
    // A colder bath: ten seconds more, and the count begins again.
    queue.set(cues_of(std::vector{in_bath(1, 13.0)}, 0));
    CHECK(queue.next_ms() == 10'000);
    CHECK_FALSE(queue.take(1050));
    // The lid was shut: what is long past is on the screen and not in the ear.
    CHECK_FALSE(queue.take(60'000));
    CHECK_FALSE(queue.next_ms());
}
