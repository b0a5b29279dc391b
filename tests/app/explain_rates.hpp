// Studios in which each planted fault is moved, resized (half to double) or absent: how often it is found, how often one is
// found that is not there. The detectors know of none of it.
#pragma once

#include <cstdint>
#include <map>
#include <string>

namespace tonebath::demo_test {

struct Rate {
    int planted = 0;
    int hit = 0;
    int studios = 0;
    int false_alarm = 0;  // studios with at least one
};
// By fault: P1, P2, P3, P8, P13, P14, P16.
using Rates = std::map<std::string, Rate>;

// One studio and all that is asked of it; `told` gets a line for each fault missed or invented.
void try_studio(std::uint64_t seed, Rates& rates, std::string* told = nullptr);
// Studio i is made from seed first_seed + i.
[[nodiscard]] Rates rates_of(int studios, std::uint64_t first_seed);
[[nodiscard]] std::string rates_table(const Rates& rates);

}  // namespace tonebath::demo_test
