// The PIN of a person: set, taken away, asked.
#pragma once

#include "app/actions/tables.hpp"
#include "model/person.hpp"
#include "model/rules/rule.hpp"

namespace tonebath::app {

void add_pin_actions(Actions& table);
// Whether this person's PIN, where one is set, was typed: "person.pin_needed", "person.pin_wrong".
[[nodiscard]] rules::Question check_pin(const Person& person, const rules::Typed& typed);

}  // namespace tonebath::app
