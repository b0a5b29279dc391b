// What sealing does to the colour: each sealed piece against itself before, by sealer; and where to aim in the bath for a
// tone that is wanted after sealing.
#pragma once

#include "base/clock.hpp"
#include "model/tone.hpp"
#include "science/paired.hpp"

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// The same place of the same piece (or part), measured last before the seal and first after it; nothing was dipped,
// rubbed, brushed or tumbled between.
struct SealPair {
    std::string piece;                        // number
    std::string part;                         // empty = the whole piece
    Stamp sealed_at;
    std::optional<double> l, a, b;            // after less before
    std::optional<double> before_l, after_l;
    std::optional<double> steps;              // after less before on the tone scale; further along is above 0
};
struct SealShift {
    std::string sealer;                       // "wax"; "not named"
    std::size_t sealed = 0;                   // seals written down
    std::size_t not_measured = 0;             // of them without a judgement after it
    std::size_t no_before = 0;                // judged after it, and nothing fit to hold against it before
    std::vector<SealPair> pairs;              // oldest first
    std::optional<science::MeanRange> l, a, b, steps;  // 95 %, from two pairs on
    std::optional<science::MeanRange> unpaired_l;      // these after sealing less pieces never sealed: what pairing shows and this hides
    std::vector<std::string> words;
};
// Most pairs first.
[[nodiscard]] std::vector<SealShift> seal_shifts(Studio& studio);

// Where the bath should leave a piece whose target is told as after sealing.
struct SealAim {
    std::string sealer;                       // of the keep-piece, else of the last piece with this target, else used last
    double earlier_steps = 0.0;               // aim so far before the target's tone; 0 where no shift is known
    std::string words;
};
// Nothing for a target that is not told as after sealing.
[[nodiscard]] std::optional<SealAim> seal_aim(Studio& studio, const Target& target);
// Of every such target, by its id: reads all seals and looks once.
[[nodiscard]] std::map<std::string, SealAim> seal_aims(Studio& studio);

}  // namespace tonebath::app
