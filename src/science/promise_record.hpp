// The program's own marks: how often pieces landed where it had promised. docs/formulas/promises.md.
#pragma once

#include "science/counts.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// What was promised of one piece, and what it became. Positions: 0 bare metal, j + 1 the tone of reached[j].
struct Promise {
    std::vector<double> reached;  // chance of having reached each tone after bare metal; falling
    std::size_t least = 0;        // judged at a position from least
    std::size_t most = 0;         // to most (the same, unless judged one-sided)
};

struct PromiseMark {
    std::size_t from = 0;               // the promised range of positions: 10 to 90 of 100, whole tones
    std::size_t to = 0;
    double promised = 0.0;              // chance of landing in it, as promised: 0.8 or more, as tones are whole
    std::optional<bool> inside;         // none: a one-sided judgement that may be either
    double pit_low = 0.0;               // share of outcomes foretold below what it became
    double pit_high = 1.0;              // and up to it
};
// nullopt: no tones, chances not falling between 1 and 0, or positions off the scale.
[[nodiscard]] std::optional<PromiseMark> mark_promise(const Promise& promise);

// Place on the scale at which the chance of having got so far falls through `chance`: position and share of the way
// through it, by straight lines between borders.
[[nodiscard]] double place_of_chance(std::span<const double> reached, double chance);

enum class PromiseVerdict { too_few, as_promised, too_narrow, too_wide };
inline constexpr long kFewestPromises = 10;  // ours: below, nothing is said

struct PromiseRecord {
    long seen = 0;
    long inside = 0;
    double promised = 0.0;     // mean chance promised
    ShareInterval interval;    // of inside/seen, 95 of 100 (Wilson); pieces of one bath move together: in truth wider
    std::array<double, 10> pit{};  // shares, 0.1 each when calibrated; not randomised (Czado, Gneiting, Held 2009)
    PromiseVerdict verdict = PromiseVerdict::too_few;
};
[[nodiscard]] PromiseRecord promise_record(std::span<const PromiseMark> marks);

}  // namespace tonebath::science
