// What is dipped, prepared or judged: a strip, a whole piece, one part of it, or a batch.
#pragma once

#include "model/dip.hpp"
#include "model/tone.hpp"
#include "model/work.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct Subject {
    std::optional<Id<Strip>> strip;
    std::optional<Id<Piece>> piece;
    std::optional<Id<Part>> part;
    std::optional<Id<Batch>> batch;
    std::string name;                // "strip 12", "L-058", "L-058 lid", "batch 31"
    std::optional<Id<Metal>> metal;  // of a piece: only where all its parts have the same
    std::string surface;
    std::optional<Id<Piece>> of_piece;  // the piece itself, or the one the part belongs to
    std::optional<Stamp> joined;        // of a part: when it was joined to its piece, or the piece assembled
};

[[nodiscard]] Subject subject_of(const Strip& strip);
[[nodiscard]] Subject subject_of(Studio& studio, const Piece& piece);
[[nodiscard]] Subject subject_of(Studio& studio, const Part& part);
[[nodiscard]] Subject subject_of(const Batch& batch);
// The subject of a dip or a judgement; empty name when its record is gone.
[[nodiscard]] Subject subject_of(Studio& studio, const Dip& dip);

// What it is to become: the piece's own target, else its batch's.
[[nodiscard]] std::optional<Target> target_of(Studio& studio, const Subject& subject);

// Dips that wetted it, oldest first: a part is wetted by its own dips and, from joining on, by its piece's; a piece by
// its own and its parts'; a batch by those of its pieces.
[[nodiscard]] std::vector<Dip> dips_of(Studio& studio, const Subject& subject);
// The newest preparation of it, of its piece or of its batch; nothing when none is written down.
[[nodiscard]] std::optional<Preparation> last_preparation(Studio& studio, const Subject& subject);
[[nodiscard]] std::vector<Judgement> judgements_of(Studio& studio, const Subject& subject);
[[nodiscard]] std::vector<AfterWork> after_work_of(Studio& studio, const Subject& subject);
// When the dip was: its drop, or the moment written down for past work.
[[nodiscard]] std::optional<Stamp> when_dipped(const Dip& dip);
[[nodiscard]] bool is_running(const Dip& dip);

}  // namespace tonebath::app
