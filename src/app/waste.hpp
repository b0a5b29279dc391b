// What left the studio and what has to: the volume balance of the baths, the balance of each lot, what is owed, and the
// mass of a month against the limit that the studio was told. The local authority decides; nothing here is a permit.
#pragma once

#include "base/quantity_text.hpp"
#include "model/desk.hpp"
#include "model/safety.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// Baths that a disposal took along: its own and those that it lists.
[[nodiscard]] std::vector<std::string> baths_of(Studio& studio, const Disposal& disposal);

// By folded number of the bath, the newest disposal that took it along and stands.
[[nodiscard]] std::map<std::string, Disposal> gone_baths(Studio& studio);

// Water and what was added; not what the air took.
[[nodiscard]] std::optional<double> made_ml(Studio& studio, const Bath& bath);

// A bath that ended and that no disposal names.
struct OwedBath {
    Id<Bath> id;
    std::string number;
    Stamp ended;
    std::optional<double> ml;  // kept back, or what it held; unknown = not written down
    bool kept_back = false;    // written down as kept back
};
[[nodiscard]] std::vector<OwedBath> owed_baths(Studio& studio);  // oldest first

struct WasteBalance {
    std::size_t baths = 0, unknown_baths = 0;  // of them without water written down: not counted
    double made_ml = 0.0;
    double found_lost_ml = 0.0;  // water found lost by reading the vessel: said by her, never assumed
    std::size_t disposals = 0, unknown_disposals = 0;  // of them without a volume
    double gone_ml = 0.0;
    double open_ml = 0.0;  // made less found lost less gone: owed, in use, or not logged
    double in_use_ml = 0.0;
    std::vector<std::string> in_use;  // bath numbers
    std::vector<OwedBath> owed;
    double owed_ml = 0.0;  // of those whose volume is known
    double unlogged_ml =
        0.0;  // open less in use less owed: neither stands here nor was logged; below 0: more went than was made
    std::vector<std::string> words;  // the same in sentences, with what evaporation would have to explain
};
[[nodiscard]] WasteBalance waste_balance(Studio& studio);

// bought − used − left − spoiled, at the newest weighing.
struct LotBalance {
    std::string lot;
    AmountUnit unit = AmountUnit::g;
    std::optional<double> bought, left;
    double used = 0.0, spoiled = 0.0;  // by then
    std::size_t unknown = 0;           // baths and top-ups without an amount
    std::optional<Stamp> weighed;
    std::optional<double> unaccounted;  // above 0: gone without a word; below 0: more there than should be
    double scale_err = 1.0;             // ours: a small kitchen scale, either way
    std::string words;
    [[nodiscard]] bool asks() const;  // more than the scale can explain
};
[[nodiscard]] LotBalance lot_balance(Studio& studio, const Lot& lot);
[[nodiscard]] std::vector<LotBalance> lot_balances(Studio& studio);  // every lot, by number

// What went out in a calendar month, as mass; a volume counts 1 kg a litre, and that is said.
struct WasteMonth {
    int year = 0, month = 0;
    double kg = 0.0;
    double from_volume_kg = 0.0;     // of it told from litres at 1 kg each
    std::size_t without = 0;         // disposals with neither mass nor volume: not in the sum
    std::optional<double> limit_kg;  // the lowest that holds in that month by the rules on file
    std::string rule;                // whose
    std::string words;  // "4.8 kg, all from litres at 1 kg each; the limit typed from letter … is 100 kg"
    [[nodiscard]] bool over() const { return limit_kg && kg > *limit_kg; }
};
[[nodiscard]] std::vector<WasteMonth> waste_months(Studio& studio);  // newest first, months with a disposal

struct RuleRow {
    LocalRule rule;
    std::size_t disposals = 0;  // that name it
    std::string words;          // "the local office, 4 Nov 2025: collection; sulfide baths"
};
[[nodiscard]] std::vector<RuleRow> local_rules(Studio& studio);  // those that hold first, newest first

struct DisposalRow {
    Disposal disposal;
    std::string baths;  // "1, 2, 3, 4"; empty = none named
    std::string rule;   // name of the rule on file, or the words typed; empty = none
};
[[nodiscard]] std::vector<DisposalRow> disposals(Studio& studio);  // newest first, withdrawn ones too

// Who decides, beside every figure of waste.
[[nodiscard]] std::string waste_decides();

}  // namespace tonebath::app
