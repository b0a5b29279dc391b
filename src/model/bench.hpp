// The one key of the bench: which lane it acts on, and what it does there.
// Common practice, no source: 4 s is the time within which a wet hand cannot tell two cues apart.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tonebath {

enum class LaneState { waiting, in_bath, rinsing, done };
enum class BenchAct { none, drop, lift_out, end_rinse };

// One place in the bath, as it is this moment. Seconds count from now; below zero is late.
struct Lane {
    int number = 1;                      // from 1, as the number key
    LaneState state = LaneState::waiting;
    std::optional<double> drop_in_s;     // waiting: when its turn is; unknown = when a hand is free
    std::optional<double> out_in_s;      // in the bath: when it should come out; unknown = no plan yet
    std::optional<double> rinse_left_s;  // rinsing: unknown = not timed
    std::optional<double> look_in_s;     // in the bath: when to lift it for a look; unknown = no plan yet
};

struct KeyAct {
    BenchAct act = BenchAct::none;
    int lane = 0;  // number of the lane; 0 with BenchAct::none
    friend bool operator==(const KeyAct&, const KeyAct&) = default;
};

// Cues closer than this are never on the key together: the way out wins.
inline constexpr double kCueGap_s = 4.0;

// What the key would do now. `picked` is the lane chosen by its number key, if any: its own act then, whatever else is due.
//  - an out that is due within 4 s, or late, comes before everything;
//  - then a drop whose turn has come, unless an out follows within 4 s of it;
//  - then the soonest of: out, end of rinse that is over;
//  - a waiting lane without a turn only when no lane is in the bath.
[[nodiscard]] KeyAct key_act(std::span<const Lane> lanes, std::optional<int> picked = std::nullopt);

// The act that the lane's own state allows.
[[nodiscard]] BenchAct act_of(const Lane& lane);

// Two cues of different lanes that fall within kCueGap_s of each other, soonest first.
struct CueClash {
    int first_lane = 0;
    int second_lane = 0;
    double in_s = 0.0;  // the earlier cue
};
[[nodiscard]] std::vector<CueClash> cue_clashes(std::span<const Lane> lanes);

// The least interval between drops, from `every_s` up in whole seconds and at most 30 s longer, that leaves no two cues
// together; nullopt when there is none. The lanes that wait keep their order, and their time in the bath as it is now.
[[nodiscard]] std::optional<double> interval_apart_s(std::span<const Lane> lanes, double every_s);

// Lets one press through and swallows its echoes: a key held down repeats, a foot switch bounces, a cat walks.
// A press counts when the one before it (counted or not) lies at least 300 ms back. 300 ms is ours: two deliberate
// presses by a gloved hand were not tried below that.
class Debounce {
public:
    static constexpr std::int64_t kGap_ms = 300;
    // `boot_ms` on the clock that runs through sleep. A clock that went backwards counts as a new start.
    [[nodiscard]] bool counts(std::int64_t boot_ms);

private:
    std::optional<std::int64_t> last_ms_;
};

}  // namespace tonebath
