// The plan for a bath now: seconds, the aim range and why, where this piece may land, and the strip worth dipping.
#pragma once

#include "app/plan.hpp"
#include "window/widgets/strip.hpp"

#include <string>

namespace tonebath::window {

struct PlanCardView {
    const DrawnScale* scale = nullptr;
    std::string bath;
    std::string aim_word;
    int aim = 0;
    const app::Plan* plan = nullptr;  // none: the words say why
    std::string no_plan_words;
    bool can_write = false;
};
enum class PlanCardUse { none, strip, start };
PlanCardUse plan_card(Ui& ui, const Rect& r, const PlanCardView& view);

}  // namespace tonebath::window
