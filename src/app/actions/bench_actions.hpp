#pragma once

#include "app/actions.hpp"

#include <vector>

namespace tonebath::app {

// Laying out the bench.
[[nodiscard]] std::vector<ActionSpec> bench_actions();

}  // namespace tonebath::app
