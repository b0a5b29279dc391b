// Answering a kind question: what each answer of a refusal does to the form that was refused.
#pragma once

#include "app/form.hpp"

#include <string_view>

namespace tonebath::app {

// The same for the window and the commands. "Keep it" puts the code into Form::kept; "Blank" empties the field;
// "reheated" and "not reheated", alone or after a value ("60.0 °C, reheated"), answer the field "reheated", and "not
// reheated" keeps the value as well; every other answer is the new text of the field. The field is found by its words
// on screen. An answer that the refusal does not have is ignored.
void give_answer(Form& form, const Refusal& question, std::string_view answer);

// True when the question offers "Keep it".
[[nodiscard]] bool may_be_kept(const Refusal& question);

}  // namespace tonebath::app
