#include "model/bench.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tonebath {

namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();

const Lane* soonest(std::span<const Lane> lanes, LaneState state, std::optional<double> Lane::* when) {
    const Lane* best = nullptr;
    for (const Lane& lane : lanes) {
        if (lane.state != state || !(lane.*when)) {
            continue;
        }
        if (best == nullptr || *(lane.*when) < *(best->*when)) {
            best = &lane;
        }
    }
    return best;
}

const Lane* first_without(std::span<const Lane> lanes, LaneState state, std::optional<double> Lane::* when) {
    const auto found = std::find_if(lanes.begin(), lanes.end(),
                                    [&](const Lane& lane) { return lane.state == state && !(lane.*when); });
    return found == lanes.end() ? nullptr : &*found;
}

}  // namespace

BenchAct act_of(const Lane& lane) {
    switch (lane.state) {
        case LaneState::waiting:
            return BenchAct::drop;
        case LaneState::in_bath:
            return BenchAct::lift_out;
        case LaneState::rinsing:
            return BenchAct::end_rinse;
        case LaneState::done:
            return BenchAct::none;
    }
    return BenchAct::none;
}

KeyAct key_act(std::span<const Lane> lanes, std::optional<int> picked) {
    if (picked) {
        const auto found = std::find_if(lanes.begin(), lanes.end(),
                                        [&](const Lane& lane) { return lane.number == *picked; });
        if (found != lanes.end() && act_of(*found) != BenchAct::none) {
            return {act_of(*found), found->number};
        }
    }
    const Lane* out = soonest(lanes, LaneState::in_bath, &Lane::out_in_s);
    const Lane* out_unplanned = first_without(lanes, LaneState::in_bath, &Lane::out_in_s);
    const Lane* drop = soonest(lanes, LaneState::waiting, &Lane::drop_in_s);
    const double out_in = out != nullptr ? *out->out_in_s : kNever;

    if (out_in <= kCueGap_s) {
        return {BenchAct::lift_out, out->number};
    }
    if (drop != nullptr && *drop->drop_in_s <= 0.0) {
        return {BenchAct::drop, drop->number};
    }
    const Lane* rinse = soonest(lanes, LaneState::rinsing, &Lane::rinse_left_s);
    if (rinse != nullptr && *rinse->rinse_left_s <= 0.0) {
        return {BenchAct::end_rinse, rinse->number};
    }
    // Whatever is next in time; an out without a plan waits behind those with one.
    if (drop != nullptr && *drop->drop_in_s + kCueGap_s < out_in) {
        return {BenchAct::drop, drop->number};
    }
    if (out != nullptr) {
        return {BenchAct::lift_out, out->number};
    }
    if (out_unplanned != nullptr) {
        return {BenchAct::lift_out, out_unplanned->number};
    }
    if (rinse != nullptr) {
        return {BenchAct::end_rinse, rinse->number};
    }
    if (const Lane* untimed = first_without(lanes, LaneState::rinsing, &Lane::rinse_left_s); untimed != nullptr) {
        return {BenchAct::end_rinse, untimed->number};
    }
    if (const Lane* free = first_without(lanes, LaneState::waiting, &Lane::drop_in_s); free != nullptr) {
        return {BenchAct::drop, free->number};
    }
    return {};
}

std::vector<CueClash> cue_clashes(std::span<const Lane> lanes) {
    struct Cue {
        double in_s;
        int lane;
    };
    std::vector<Cue> cues;
    for (const Lane& lane : lanes) {
        if (lane.state == LaneState::waiting && lane.drop_in_s) {
            cues.push_back({*lane.drop_in_s, lane.number});
        }
        if ((lane.state == LaneState::waiting || lane.state == LaneState::in_bath) && lane.out_in_s) {
            cues.push_back({*lane.out_in_s, lane.number});
        }
    }
    std::sort(cues.begin(), cues.end(), [](const Cue& a, const Cue& b) { return a.in_s < b.in_s; });
    std::vector<CueClash> clashes;
    for (std::size_t i = 1; i < cues.size(); ++i) {
        const Cue& before = cues[i - 1];
        const Cue& after = cues[i];
        if (before.lane != after.lane && after.in_s - before.in_s < kCueGap_s) {
            clashes.push_back({before.lane, after.lane, before.in_s});
        }
    }
    return clashes;
}

std::optional<double> interval_apart_s(std::span<const Lane> lanes, double every_s) {
    constexpr int kMostLonger_s = 30;
    for (int longer_s = 0; longer_s <= kMostLonger_s; ++longer_s) {
        std::vector<Lane> moved(lanes.begin(), lanes.end());
        int turn = 0;
        for (Lane& lane : moved) {
            if (lane.state == LaneState::waiting && lane.drop_in_s) {
                const double later_s = longer_s * ++turn;
                lane.drop_in_s = *lane.drop_in_s + later_s;
                lane.out_in_s = lane.out_in_s ? std::optional<double>(*lane.out_in_s + later_s) : std::nullopt;
            }
        }
        if (cue_clashes(moved).empty()) {
            return every_s + longer_s;
        }
    }
    return std::nullopt;
}

bool Debounce::counts(std::int64_t boot_ms) {
    const bool echo = last_ms_ && boot_ms >= *last_ms_ && boot_ms - *last_ms_ < kGap_ms;
    last_ms_ = boot_ms;
    return !echo;
}

}  // namespace tonebath
