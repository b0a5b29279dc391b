// The page Coats: an evening planned, its rows while hands are tacky, bottles by their evenings, and what seals do.
#pragma once

#include "window/panels/page.hpp"

namespace tonebath::window {

[[nodiscard]] std::unique_ptr<Page> make_coats_page();

}  // namespace tonebath::window
