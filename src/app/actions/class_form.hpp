// What the forms of classes share. For the .cpp files of this folder only.
#pragma once

#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/classes.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

inline constexpr int kMostSeats = 24;  // as many as the bench has lanes

// "C-9" after "C-8"; "N-4" after "N-3".
[[nodiscard]] std::string next_lettered(Studio& studio, std::string_view table, std::string_view head);
// The class that is named, or the one that is shown when none is.
[[nodiscard]] std::optional<ClassSession> class_typed(Reader& in);
void check_not_ended(Reader& in, const ClassSession& session);
// Whole numbers of seats: "6", "1..12".
[[nodiscard]] std::vector<int> seat_numbers(Reader& in);
[[nodiscard]] FieldSpec class_field();
[[nodiscard]] FieldSpec seats_field();

}  // namespace tonebath::app
