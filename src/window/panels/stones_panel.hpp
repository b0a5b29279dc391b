// The page Stones: which survived which finish, what is due to be looked at, and what is known before a bath.
#pragma once

#include "window/panels/page.hpp"

namespace tonebath::window {

[[nodiscard]] std::unique_ptr<Page> make_stones_page();

}  // namespace tonebath::window
