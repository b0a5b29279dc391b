#include "app/resolve_words.hpp"

#include "base/text.hpp"
#include "model/nouns.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

Refusal unknown(std::string_view table, std::string_view field, std::string_view typed,
                std::vector<std::string> names) {
    const std::string noun(noun_word(table));
    if (names.empty()) {
        return Refusal{.code = std::string(table) + ".none_yet",
                       .field = std::string(field),
                       .value = shown(typed),
                       .message = fmt::format("there is no {} in the log yet.", noun),
                       .remedy = "Write it down first.",
                       .answers = {}};
    }
    std::sort(names.begin(), names.end(), natural_less);
    // The nearest in order on both sides.
    const auto at = std::lower_bound(names.begin(), names.end(), std::string(typed), natural_less);
    const auto first = at - std::min<std::ptrdiff_t>(3, at - names.begin());
    const auto last = first + std::min<std::ptrdiff_t>(5, names.end() - first);
    std::vector<std::string> near(first, last);
    return Refusal{
        .code = std::string(table) + ".unknown",
        .field = std::string(field),
        .value = shown(typed),
        .message = fmt::format("there is no {} with that name.", noun),
        .remedy = fmt::format("Near it there are {}; choose one, or write it down first.", joined(near, ", ")),
        .answers = near};
}

std::string_view without_noun(std::string_view typed, std::string_view table) {
    for (const std::string_view noun : {noun_word(table), table}) {
        const std::string head = folded(noun) + " ";
        if (folded(typed.substr(0, std::min(typed.size(), head.size()))) == head) {
            return trimmed(typed.substr(head.size()));
        }
    }
    return typed;
}

}  // namespace tonebath::app
