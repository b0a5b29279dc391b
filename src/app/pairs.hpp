// What must never meet: pairs as data, and the pairs that two kinds of finish make.
#pragma once

#include "base/result.hpp"
#include "model/checklist.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace tonebath::app {

// One row of data/incompatibilities.csv.
struct IncompatiblePair {
    std::string one, other;  // in words
    // What stands on each side, any one of them; "acid+oxidiser" is one product with both families. Words outside the
    // known families name things.
    std::vector<std::string> families, other_families;
    std::string gives;
    CheckLevel level = CheckLevel::advise;
    std::string source, trust;
};

// Strict: a fault is refused with file and line.
[[nodiscard]] Result<std::vector<IncompatiblePair>> read_pairs(const std::filesystem::path& file);
// True when the kind has the family or families of something on that side ("any": every bath and waste), or its make-up
// is unknown and the side says so. What is inert (wax, water-based lacquer) is neither bath nor waste and stands on no
// side.
[[nodiscard]] bool on_side(const FinishKind& kind, const std::vector<std::string>& side);
// Pairs that these two make, either way round, the stops first. An unknown product counts as its kind does: as acid.
[[nodiscard]] std::vector<IncompatiblePair> pairs_between(const std::vector<IncompatiblePair>& pairs,
                                                          const FinishKind& one, const FinishKind& other);
// What stands with every stop that a pair raises.
[[nodiscard]] std::string first_words();

}  // namespace tonebath::app
