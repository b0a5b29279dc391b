// The page Safety: the air of the room, where its figures come from, and the check before the bath in use.
#pragma once

#include "window/panels/page.hpp"

namespace tonebath::window {

[[nodiscard]] std::unique_ptr<Page> make_safety_page();

}  // namespace tonebath::window
