// The plan for a bath now: seconds, the aim range and why, where this piece may land, and the strip worth dipping.
#pragma once

#include "app/plan.hpp"
#include "window/widgets/strip.hpp"
#include "window/widgets/table.hpp"

#include <string>
#include <vector>

namespace tonebath::window {

struct PlanCardView {
    const DrawnScale* scale = nullptr;
    std::string bath;
    std::string aim_word;
    int aim = 0;
    const app::Plan* plan = nullptr;  // none: the words say why
    std::string no_plan_words;
    bool can_write = false;
    std::string mixed_piece;          // a piece of two metals that waits for this dip; empty: none
    std::vector<std::string> mixed;   // what to know of its other parts before it goes in
    ScrollState* scroll = nullptr;    // of the words at the bottom
};
enum class PlanCardUse { none, strip, start };
PlanCardUse plan_card(Ui& ui, const Rect& r, const PlanCardView& view);

}  // namespace tonebath::window
