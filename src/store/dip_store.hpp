// Questions about dips and what came of them.
#pragma once

#include "model/dip.hpp"
#include "store/log.hpp"

#include <vector>

namespace tonebath::store {

// Dropped, not taken out and of unknown length; by lane.
[[nodiscard]] std::vector<Dip> running_dips(Log& log);
// In order of time; past work whose time is not known comes first.
[[nodiscard]] std::vector<Dip> dips_of(Log& log, const Id<Bath>& bath);
[[nodiscard]] std::vector<Dip> dips_of(Log& log, const Id<Strip>& strip);
// Of the whole piece and of each of its parts.
[[nodiscard]] std::vector<Dip> dips_of(Log& log, const Id<Piece>& piece);
// Of the part alone, without those of the whole piece.
[[nodiscard]] std::vector<Dip> dips_of(Log& log, const Id<Part>& part);

// In order of time. Of a piece: with those of its parts.
[[nodiscard]] std::vector<Judgement> judgements_of(Log& log, const Id<Strip>& strip);
[[nodiscard]] std::vector<Judgement> judgements_of(Log& log, const Id<Piece>& piece);
[[nodiscard]] std::vector<Judgement> judgements_of(Log& log, const Id<Part>& part);

}  // namespace tonebath::store
