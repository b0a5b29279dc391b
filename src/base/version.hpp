// What this program is called and which version it is; the values come from the build description.
#pragma once

#include <string_view>

namespace tonebath {

// The project version, for example "0.1.0".
[[nodiscard]] std::string_view version();
// The folder that the program was built from; it may be gone by now.
[[nodiscard]] std::string_view build_source_tree();

}  // namespace tonebath
