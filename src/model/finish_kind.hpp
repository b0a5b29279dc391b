// Kinds of finish: which families of chemicals each belongs to, how its work is measured, and whether it has a dose.
#pragma once

#include "model/lot.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath {

struct FinishKind {
    std::string key;                    // "liver_of_sulfur_lump"
    std::string name;                   // on screen: "liver of sulfur, lump"
    std::vector<std::string> families;  // sulfide, acid, oxidiser, ammonia, solvent, heat, metal_salt, inert
    std::optional<LotForm> form;        // the form its lots come in, where there is only one
    std::optional<AmountUnit> unit;     // its lots are measured in it; unknown = this kind takes no amount of a lot
    std::string measure;                // what is counted: "seconds", "passes", "hours", "metal °C"; empty = nothing
    bool dose = false;                  // the dose of science/dose.hpp holds for it
    std::string never_meets;            // in words, for the reader
    std::string stop_rinse;             // what ends its work, in words
    std::string source;                 // rows the line rests on
};

[[nodiscard]] bool in_family(const FinishKind& kind, std::string_view family);
[[nodiscard]] bool shares_family(const FinishKind& kind, const std::vector<std::string>& families);
// By key or name, capitals and accents aside; "liver of sulfur" alone takes `form`, lump when that is unknown too.
[[nodiscard]] const FinishKind* find_kind(const std::vector<FinishKind>& kinds, std::string_view typed,
                                          std::optional<LotForm> form = std::nullopt);

}  // namespace tonebath
