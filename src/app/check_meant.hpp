// Which list a form means, and what it is answered for. For the .cpp files of this folder only.
#pragma once

#include "app/actions/reader.hpp"
#include "app/checks.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

struct CheckMeant {
    const Checklist* list = nullptr;
    CheckAbout about;
    std::string words;  // "bath 46", "liver of sulfur, lump"
};
// From the fields list, bath, kind, lot, class and who; `items` are the items named, where no list is. Nothing when
// refused: "check.no_list", "kind.unknown", "check.no_name", "dip.bath_ended".
[[nodiscard]] std::optional<CheckMeant> check_meant(Reader& in, const std::vector<std::string>& items);
// Those fields, as specified for every action that means a list.
[[nodiscard]] std::vector<FieldSpec> check_meant_fields();
// By key or title.
[[nodiscard]] const Checklist* find_list(Studio& studio, std::string_view typed);

}  // namespace tonebath::app
