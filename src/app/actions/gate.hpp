// What must be so before an act is written down as done now. For the .cpp files of this folder only.
#pragma once

#include "app/actions/reader.hpp"
#include "app/checks.hpp"
#include "app/clearance.hpp"

#include <string>

namespace tonebath::app {

// Refuses in `in` while a list of the gate is open, or the person may not and nobody named in the field "with", or with
// the list, stands by. Past work is not held back. A second person from the field becomes a line of the note.
void stand_before(Reader& in, Gate gate, Act act, bool past_work, const CheckAbout& about, std::string& note);
[[nodiscard]] FieldSpec with_field();

}  // namespace tonebath::app
