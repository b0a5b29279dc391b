// Chance with a seed, the same on every machine: the standard distributions are not.
#pragma once

#include <cstdint>
#include <random>

namespace tonebath::app {

class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    // 0 <= u < 1.
    [[nodiscard]] double even();
    // Mean 0, standard deviation 1 (Box and Muller 1958, Ann. Math. Stat. 29, 610; from memory). Cut at +-3.
    [[nodiscard]] double normal();
    [[nodiscard]] double between(double low, double high) { return low + (high - low) * even(); }
    [[nodiscard]] bool one_in(double n) { return even() * n < 1.0; }

private:
    std::mt19937_64 engine_;
};

}  // namespace tonebath::app
