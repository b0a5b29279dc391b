// The one table of actions that make or correct records. Commands, forms on the pages, the key list, the search for an
// action and the help all read it.
#pragma once

#include "app/form.hpp"
#include "app/studio.hpp"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

struct ActionSpec {
    std::string id;       // "bath.make-up": noun, point, verb; the command is "tonebath bath make-up"
    std::string label;    // "Make up a bath"
    std::string help;     // one or two sentences
    std::string page;     // the page it belongs to: "Baths"
    std::string key;      // key on that page, "M"; may be empty
    std::vector<FieldSpec> fields;
    Result<Outcome> (*carry_out)(Studio&, const Form&) = nullptr;
};

[[nodiscard]] std::span<const ActionSpec> actions();
[[nodiscard]] const ActionSpec* find_action(std::string_view id);

}  // namespace tonebath::app
