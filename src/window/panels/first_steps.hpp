// The first start: what is known (nothing), and the three things that begin it.
#pragma once

#include "window/panels/page.hpp"

namespace tonebath::window {

void first_steps(Ui& ui, const Rect& page, const Glance& glance, Wishes& wishes);

}  // namespace tonebath::window
