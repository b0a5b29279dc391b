// Today: the day as a wire, the next thing to dip, and what is owed. An empty log gets the first steps.
#pragma once

#include "window/panels/page.hpp"

#include <memory>

namespace tonebath::window {

[[nodiscard]] std::unique_ptr<Page> make_today_page();

}  // namespace tonebath::window
