// Questions about pieces, strips and their numbers.
#pragma once

#include "model/nouns.hpp"
#include "store/log.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace tonebath::store {

// By rack, then by number: L-9 before L-10.
[[nodiscard]] std::vector<Piece> pieces_of(Log& log, const Id<Batch>& batch);
[[nodiscard]] std::vector<Part> parts_of(Log& log, const Id<Piece>& piece);
// Newest first. An empty `surface` means every surface.
[[nodiscard]] std::vector<Strip> strips_of(Log& log, const Id<Metal>& metal, std::string_view surface = {});

// The next free number that begins with `prefix`: one above the highest that goes on in digits alone ("L-" with L-130
// and L-131: "L-132"; "L-" with L-007: "L-008"; none yet: "L-1"). For every noun that has a number.
template <class Noun>
[[nodiscard]] std::string next_number(Log& log, const std::string& prefix);
// The same, going on from the record made last: after L-131 "L-132". "1" when there is none.
template <class Noun>
[[nodiscard]] std::string next_number(Log& log);

}  // namespace tonebath::store
