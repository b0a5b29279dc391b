#include "app/paper/door_card.hpp"

#include "app/emergency.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/rules/rule.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

std::string or_by_hand(const std::string& value, std::size_t letters) {
    return value.empty() ? std::string(letters, '_') : value;
}

Result<report::Report> door_card(Studio& studio, std::string_view page) {
    const auto pages = read_emergency_pages(studio.options().checklists);
    if (!pages) {
        return pages.error();
    }
    const std::string wanted = folded(page);
    const auto found = std::find_if(pages->begin(), pages->end(), [&](const EmergencyText& one) { return one.key == wanted; });
    if (found == pages->end()) {
        return rules::refuse("card.no_page", {"Page", page}, "there is no such emergency page.", "The pages are gas, splash and fire.", {"gas", "splash", "fire"});
    }
    EmergencyNumbers numbers = emergency_numbers(studio);
    numbers = {.emergency_number = or_by_hand(numbers.emergency_number), .poison_line = or_by_hand(numbers.poison_line), .address = or_by_hand(numbers.address)};
    report::Report card{.kind = "door card",
                        .title = found->title,
                        .line = studio.demo() ? "Invented demo studio" : "",
                        .foot = "General words, not medical advice. The rescuers' words come first.",
                        .made_at = studio.now(),
                        .letters = kOnADoor};
    card.blocks.push_back(report::Cautions{{filled(found->first, numbers) + ".", filled(found->first_note, numbers)}});
    card.blocks.push_back(report::Cautions{{filled(found->second, numbers) + ".", filled(found->second_note, numbers)}});
    for (const EmergencyLine& row : found->rows) {
        card.blocks.push_back(report::Heading{row.head});
        report::Lines lines;
        for (const std::string& line : row.lines) {
            lines.lines.push_back(filled(line, numbers));
        }
        card.blocks.push_back(std::move(lines));
    }
    // One under the other: a number that is cut short is no number.
    card.blocks.push_back(report::Figures{{{"emergency", numbers.emergency_number, ""}}});
    card.blocks.push_back(report::Figures{{{"poison line", numbers.poison_line, ""}}});
    card.blocks.push_back(report::Facts{{{"this place", numbers.address}}});
    return card;
}

}  // namespace tonebath::app
