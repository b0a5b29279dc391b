// What is laid out at the bench: one bath, and the strips, pieces or parts that wait for it, a lane each. Kept in the log,
// so that a window that was killed comes back to the same bench.
#pragma once

#include "app/subject.hpp"
#include "model/bath.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

inline constexpr std::size_t kMostLanes = 24;
inline constexpr double kUsualRinse_s = 30.0;  // common practice, no source; the studio may set another

struct BenchLayout {
    std::optional<Id<Bath>> bath_id;
    std::vector<Subject> lanes;            // at most kMostLanes
    std::optional<Id<Tone>> aim;           // the tone all are taken to; unknown = each its own target
    std::optional<double> every_s;         // between drops; unknown = when a hand is free
    double rinse_s = kUsualRinse_s;
    std::optional<Stamp> laid_out_at;
};

// What is laid out now; records that are gone are left out.
[[nodiscard]] BenchLayout bench_layout(Studio& studio);
// Lays it out. It is no record of work and makes no step to undo.
void lay_out(Studio& studio, const BenchLayout& layout);

}  // namespace tonebath::app
