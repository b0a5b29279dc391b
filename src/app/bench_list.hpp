// What stands out on the bench now: products put out, baths in use (past work only of the last twelve hours), a coating
// under way; and which of them must never meet. Putting out is recorded as it is; what a stop holds back is the start
// of a bath or a coating, and waste that it concerns.
#pragma once

#include "app/form.hpp"
#include "model/bath.hpp"
#include "model/checklist.hpp"
#include "model/desk.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// The families that a product counts as: those of its kind, and acid as well until its sheet is read here. `name` is
// the product's own.
[[nodiscard]] FinishKind counts_as(Studio& studio, const Chemical& chemical);
// "acid_pickle", from its sheet; "acid: its sheet is not read".
[[nodiscard]] std::string counts_as_words(Studio& studio, const Chemical& chemical);

struct BenchThing {
    enum class What { chemical, bath, coating, waste, mixing };
    What what = What::chemical;
    std::string id;    // of the record
    std::string name;  // "vinegar", "bath 46", "coating 11"
    FinishKind kind;   // as it counts
    Stamp since;
    std::string lot;                          // id of the lot it is, or was made from; empty = none
    bool unread = false;                      // a product whose sheet was not read
    [[nodiscard]] std::string words() const;  // "bath 46 (liver of sulfur, lump)"
};

struct BenchPair {
    BenchThing one, other;
    std::string gives;  // "H2S gas"
    std::string as;     // the row of the list: "sulfide bath or solid with vinegar, lemon, any food or descaling acid"
    CheckLevel level = CheckLevel::advise;
    std::string source, trust;
    [[nodiscard]] std::string head() const;   // "vinegar and bath 46 (liver of sulfur, lump) must never meet"
    [[nodiscard]] std::string words() const;  // head, what it gives, and why a product counts as it does
    [[nodiscard]] std::string from() const;   // the row, its source and trust
};

struct BenchList {
    std::vector<BenchThing> things;  // products first, each since longest
    std::vector<BenchPair> pairs;    // stops first
    std::string fault;               // why the pairs could not be told; then nothing may start
};
// What is about to begin counts as standing out: a bath even where the log holds it as past work, a coating of this kind
// ("this coating"), a bath about to be mixed of this lot, empty = of none ("this bath"), waste about to leave ("waste of bath
// 46"). All but the first stand since no moment: their stop is entered once for as long as the other thing stands out.
[[nodiscard]] BenchThing bath_begins(Studio& studio, const Bath& bath);
[[nodiscard]] BenchThing coating_begins(const FinishKind& kind);
[[nodiscard]] BenchThing mixing_begins(const FinishKind& kind, const std::string& lot_id);
[[nodiscard]] BenchThing waste_leaves(const FinishKind& kind, const Bath* bath);
[[nodiscard]] BenchList bench_list(Studio& studio, const BenchThing* begins = nullptr);

// The stops that stand on the bench now, in words for a person; empty = none.
[[nodiscard]] std::vector<std::string> bench_stops(Studio& studio, const BenchThing* begins = nullptr);
// The same as a refusal of `field`, "bench.never_meet"; nothing where no stop stands. No bath and no coating begins while
// any stands; waste is held back by those that it takes part in. A stop that what begins raises itself, as a bath's make-up
// raised its own before, is entered in the book of near misses.
[[nodiscard]] std::optional<Refusal> bench_refusal(Studio& studio, const std::string& field, const BenchThing& begins);

// For what may have raised a stop: told among the cautions of what was done, and entered in the book of near misses in
// a change of its own where it is not there since the two stand together. A refusal passes through.
[[nodiscard]] Result<Outcome> with_bench_stops(Studio& studio, Result<Outcome> done);

}  // namespace tonebath::app
