// Tones: the strip as an axis of dose, what was learned and from which records, and the plan for the bath now.
#pragma once

#include "window/panels/page.hpp"

#include <memory>

namespace tonebath::window {

[[nodiscard]] std::unique_ptr<Page> make_tones_page();

}  // namespace tonebath::window
