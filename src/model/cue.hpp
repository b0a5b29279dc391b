// What the bench says aloud, and when: the same moments that it shows.
#pragma once

#include "model/bench.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <utility>
#include <vector>

namespace tonebath {

enum class CueKind : std::uint8_t { three, two, one, out, look, rinse_done, coat_due, warning };
inline constexpr int kCueKinds = 8;

struct Cue {
    CueKind kind = CueKind::out;
    int lane = 0;
    std::int64_t at_ms = 0;  // on the clock that runs through sleep
    friend bool operator==(const Cue&, const Cue&) = default;
};

// Never two at once: a count that falls within this of an out or a look of another lane is left out, ms. Ours.
inline constexpr std::int64_t kCueSpace_ms = 450;
// Later than this a cue is not sounded any more: the screen has it.
inline constexpr std::int64_t kLatestCue_ms = 200;

// Every cue that is still to come, soonest first: three, two, one and out of each lane in the bath with a plan, its look,
// and the end of each timed rinse. `now_ms` on the clock that runs through sleep.
[[nodiscard]] std::vector<Cue> cues_of(std::span<const Lane> lanes, std::int64_t now_ms);

// Cues waiting for their moment. Not for two threads at once.
class CueQueue {
public:
    // Replaces what waits: a reading moves every cue. One that was given is not given again within two seconds of it.
    void set(std::vector<Cue> cues);
    // The next cue that is due; those later than kLatestCue_ms are dropped. Never two within kCueSpace_ms, except that an
    // out is always given and cuts what is heard.
    [[nodiscard]] std::optional<Cue> take(std::int64_t now_ms);
    // When the next one is due; nullopt when none waits.
    [[nodiscard]] std::optional<std::int64_t> next_ms() const;

private:
    std::vector<Cue> waiting_;                                 // soonest first
    std::map<std::pair<CueKind, int>, std::int64_t> given_;    // kind and lane to the moment it was for
};

}  // namespace tonebath
