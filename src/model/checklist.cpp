#include "model/checklist.hpp"

#include <algorithm>
#include <iterator>

namespace tonebath {

std::vector<ChecklistItem> items_for(const Checklist& list, const FinishKind& kind) {
    std::vector<ChecklistItem> applying;
    std::copy_if(list.items.begin(), list.items.end(), std::back_inserter(applying),
                 [&](const ChecklistItem& item) { return shares_family(kind, item.families); });
    return applying;
}

}  // namespace tonebath
