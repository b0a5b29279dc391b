// The check character behind a number on a label: it shows a slip of one character, and two that changed places.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace tonebath {

// ISO/IEC 7064, MOD 37-2, over the ASCII letters (capitals or not) and digits of `text`; other characters are passed
// over. One of 0-9, A-Z, '*'.
[[nodiscard]] char check_character(std::string_view text);

// "L-131+K": a number with its check character. nullopt where there is no such end.
struct CheckedNumber {
    std::string number;
    char check = '*';
};
[[nodiscard]] std::optional<CheckedNumber> split_checked(std::string_view typed);

}  // namespace tonebath
