// Work that takes long tells how far it has come, and asks whether to go on.
#pragma once

#include <functional>
#include <string_view>

namespace tonebath::app {

// `what` it is at, in words; `share` of the whole, 0 to 1. Answers: go on? Empty: nobody looks, and it goes on.
using Watch = std::function<bool(std::string_view what, double share)>;

}  // namespace tonebath::app
