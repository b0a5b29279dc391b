// Baths: vessels and jars at the left, one bath's portrait on one time line, and the field for the next reading.
#pragma once

#include "window/panels/page.hpp"

#include <memory>

namespace tonebath::window {

[[nodiscard]] std::unique_ptr<Page> make_baths_page();

}  // namespace tonebath::window
