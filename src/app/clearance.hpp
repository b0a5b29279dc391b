// Who may do what: make up, dip alone, coat, dispose, supervise. Written down with each person.
#pragma once

#include "model/person.hpp"
#include "model/rules/rule.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

enum class Act { make_up, dip_alone, coat, dispose, supervise };

[[nodiscard]] bool may(const Person& person, Act act);
// Initials of those on file who may, blanked ones left out.
[[nodiscard]] std::vector<std::string> who_may(Studio& studio, Act act);
// Refused ("person.may_not_make_up", "…_dip_alone" and so on) unless `who` may, or `second`, someone else who may do it
// or supervise, stands by. The refusal says who may. A second person who may not: "person.second_may_not".
[[nodiscard]] rules::Question clearance(Studio& studio, const rules::Typed& typed, const std::optional<Id<Person>>& who,
                                        Act act, const std::optional<Id<Person>>& second);

}  // namespace tonebath::app
