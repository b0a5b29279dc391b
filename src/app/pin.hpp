// The optional PIN of a person: kept as crypt(3) makes it (yescrypt), never as typed.
#pragma once

#include <string>
#include <string_view>

namespace tonebath::app {

// What is told of it, in lists and in the change log: that one is set, never what is kept.
inline constexpr std::string_view kPinColumn = "pin", kPinSet = "set";

// 4 to 12 digits.
[[nodiscard]] bool is_pin(std::string_view typed);
// With a salt of its own. Empty when this system's crypt(3) has no yescrypt.
[[nodiscard]] std::string keep_pin(std::string_view typed);
[[nodiscard]] bool is_same_pin(std::string_view typed, const std::string& kept);

}  // namespace tonebath::app
