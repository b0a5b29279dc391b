#include "model/finish_kind.hpp"

#include <algorithm>

namespace tonebath {

bool in_family(const FinishKind& kind, std::string_view family) {
    return std::find(kind.families.begin(), kind.families.end(), family) != kind.families.end();
}

bool shares_family(const FinishKind& kind, const std::vector<std::string>& families) {
    return std::any_of(families.begin(), families.end(),
                       [&](const std::string& family) { return family == "any" || in_family(kind, family); });
}

namespace {

// Letters and digits only, folded: "Liver of sulfur, lump" and "liver_of_sulfur_lump" become the same.
std::string squeezed(std::string_view text) {
    std::string letters;
    for (const char c : folded(text)) {
        if (c != '_' && c != '-' && c != ',' && c != ' ') {
            letters += c;
        }
    }
    return letters;
}

}  // namespace

const FinishKind* find_kind(const std::vector<FinishKind>& kinds, std::string_view typed, std::optional<LotForm> form) {
    const std::string wanted = squeezed(typed);
    const FinishKind* of_another_form = nullptr;
    for (const FinishKind& kind : kinds) {
        if (squeezed(kind.key) == wanted || squeezed(kind.name) == wanted) {
            return &kind;
        }
        // "liver of sulfur": the part of the name before the form.
        const std::string_view name = kind.name;
        if (!kind.form || squeezed(name.substr(0, name.find(','))) != wanted) {
            continue;
        }
        if (*kind.form == form.value_or(LotForm::lump)) {
            return &kind;
        }
        of_another_form = of_another_form ? of_another_form : &kind;
    }
    return form ? nullptr : of_another_form;
}

}  // namespace tonebath
