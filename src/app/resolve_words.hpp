// What is said when a typed name finds no record, and how a name is typed with its noun before it.
#pragma once

#include "base/result.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

// Refusal "bath.none_yet" or "bath.unknown", with the names nearest in order.
[[nodiscard]] Refusal unknown(std::string_view table, std::string_view field, std::string_view typed,
                              std::vector<std::string> names);
// "bath 46" as "46"; "strip 7" and "test strip 7" alike.
[[nodiscard]] std::string_view without_noun(std::string_view typed, std::string_view table);

}  // namespace tonebath::app
