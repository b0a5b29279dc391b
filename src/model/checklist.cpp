#include "model/checklist.hpp"

#include <algorithm>
#include <iterator>

namespace tonebath {

bool Checklist::holds(Gate gate) const {
    return std::find(gates.begin(), gates.end(), gate) != gates.end();
}

std::vector<ChecklistItem> items_for(const Checklist& list, const FinishKind& kind) {
    std::vector<ChecklistItem> applying;
    std::copy_if(list.items.begin(), list.items.end(), std::back_inserter(applying),
                 [&](const ChecklistItem& item) { return shares_family(kind, item.families); });
    return applying;
}

bool asks_of(const Checklist& list, const FinishKind& kind) {
    const std::vector<ChecklistItem> items = items_for(list, kind);
    return std::any_of(items.begin(), items.end(), [](const ChecklistItem& item) {
        return !item.completion && item.level != CheckLevel::advise;
    });
}

}  // namespace tonebath
