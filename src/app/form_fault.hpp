// What can be said of a form before anything is done with it.
#pragma once

#include "app/actions.hpp"

#include <optional>

namespace tonebath::app {

// A field that the form does not have ("form.unknown_field"), one that is needed and not filled in ("form.missing"), a word
// that is none of the choices ("choice.unknown").
[[nodiscard]] std::optional<Refusal> form_fault(const ActionSpec& spec, const Form& form);

}  // namespace tonebath::app
