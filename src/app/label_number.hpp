// Numbers as labels carry them: with a check character behind a plus.
#pragma once

#include "base/result.hpp"

#include <string>
#include <string_view>

namespace tonebath::app {

// What a label's number is printed and typed with: "L-131+K". The noun is part of it, so that the number of a bath typed
// where a piece is asked is seen.
[[nodiscard]] char check_of(std::string_view noun, std::string_view number);
// "L-131+K", right or wrong.
[[nodiscard]] bool has_check(std::string_view typed);
// The number typed off a label, without its check; what is typed without one comes back as it is. Refusal
// "number.check_wrong".
[[nodiscard]] Result<std::string> number_of_label(std::string_view noun, std::string_view field, std::string_view typed);

}  // namespace tonebath::app
