// Pieces: the list with find, and one piece's whole story.
#pragma once

#include "window/panels/page.hpp"

#include <memory>

namespace tonebath::window {

[[nodiscard]] std::unique_ptr<Page> make_pieces_page();

}  // namespace tonebath::window
