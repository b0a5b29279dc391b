#include "model/cue.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace tonebath {

namespace {

constexpr std::int64_t kSameCue_ms = 2000;

bool is_count(CueKind kind) { return kind == CueKind::three || kind == CueKind::two || kind == CueKind::one; }

// Who is heard when two fall together: an out, then a look, then the rest.
int rank(CueKind kind) { return kind == CueKind::out ? 0 : kind == CueKind::look ? 1 : is_count(kind) ? 3 : 2; }

}  // namespace

std::vector<Cue> cues_of(std::span<const Lane> lanes, std::int64_t now_ms) {
    std::vector<Cue> cues;
    const auto add = [&](CueKind kind, int lane, double in_s) {
        const auto in_ms = static_cast<std::int64_t>(std::llround(in_s * 1000.0));
        if (in_ms >= -kLatestCue_ms) {
            cues.push_back({kind, lane, now_ms + in_ms});
        }
    };
    for (const Lane& lane : lanes) {
        if (lane.state == LaneState::in_bath && lane.out_in_s) {
            add(CueKind::three, lane.number, *lane.out_in_s - 3.0);
            add(CueKind::two, lane.number, *lane.out_in_s - 2.0);
            add(CueKind::one, lane.number, *lane.out_in_s - 1.0);
            add(CueKind::out, lane.number, *lane.out_in_s);
        }
        if (lane.state == LaneState::in_bath && lane.look_in_s) {
            add(CueKind::look, lane.number, *lane.look_in_s);
        }
        if (lane.state == LaneState::rinsing && lane.rinse_left_s) {
            add(CueKind::rinse_done, lane.number, *lane.rinse_left_s);
        }
    }
    const std::vector<Cue> all = cues;
    std::erase_if(cues, [&all](const Cue& cue) {
        return is_count(cue.kind) && std::any_of(all.begin(), all.end(), [&cue](const Cue& other) {
            return !is_count(other.kind) && other.lane != cue.lane && std::llabs(other.at_ms - cue.at_ms) < kCueSpace_ms;
        });
    });
    std::stable_sort(cues.begin(), cues.end(), [](const Cue& a, const Cue& b) {
        return a.at_ms != b.at_ms ? a.at_ms < b.at_ms : rank(a.kind) < rank(b.kind);
    });
    return cues;
}

void CueQueue::set(std::vector<Cue> cues) {
    std::erase_if(cues, [this](const Cue& cue) {
        const auto given = given_.find({cue.kind, cue.lane});
        return given != given_.end() && std::llabs(given->second - cue.at_ms) < kSameCue_ms;
    });
    waiting_ = std::move(cues);
}

std::optional<Cue> CueQueue::take(std::int64_t now_ms) {
    while (!waiting_.empty() && waiting_.front().at_ms <= now_ms) {
        const Cue cue = waiting_.front();
        waiting_.erase(waiting_.begin());
        if (now_ms - cue.at_ms > kLatestCue_ms) {
            continue;
        }
        given_[{cue.kind, cue.lane}] = cue.at_ms;
        // What falls on the same moment is on the screen alone.
        std::erase_if(waiting_, [&cue](const Cue& other) {
            return other.at_ms - cue.at_ms < kCueSpace_ms && rank(other.kind) >= rank(cue.kind) && other.kind != CueKind::out;
        });
        return cue;
    }
    return std::nullopt;
}

std::optional<std::int64_t> CueQueue::next_ms() const {
    return waiting_.empty() ? std::nullopt : std::optional<std::int64_t>(waiting_.front().at_ms);
}

}  // namespace tonebath
