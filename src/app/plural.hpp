// More than one of a noun as noun_word() calls it.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>

namespace tonebath::app {

// "bath" -> "baths", "class" -> "classes", "answer of a check" -> "answers of a check", "after-work" -> "after-work steps".
[[nodiscard]] inline std::string plural_of(std::string_view noun) {
    const std::size_t head = std::min(noun.find(" of "), noun.size());
    std::string more(noun.substr(0, head));
    more += more.ends_with("ss") || more.ends_with("ch") ? "es" : more.ends_with("work") ? " steps" : more.ends_with("s") ? "" : "s";
    more += noun.substr(head);
    return more;
}

}  // namespace tonebath::app
