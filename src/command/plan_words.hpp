// A plan in lines of text: the time and its range, where the piece may land, what it rests on and what would narrow it.
#pragma once

#include "app/plan.hpp"

#include <string>

namespace tonebath::command {

// Each line is led in by two blanks.
[[nodiscard]] std::string plan_text(const app::Plan& plan, const std::string& tone);

}  // namespace tonebath::command
