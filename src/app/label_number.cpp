#include "app/label_number.hpp"

#include "base/check_character.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

namespace tonebath::app {

char check_of(std::string_view noun, std::string_view number) {
    return check_character(std::string(noun) + std::string(number));
}

bool has_check(std::string_view typed) {
    return split_checked(typed).has_value();
}

Result<std::string> number_of_label(std::string_view noun, std::string_view field, std::string_view typed) {
    const auto parts = split_checked(typed);
    if (!parts) {
        return std::string(typed);
    }
    if (check_of(noun, parts->number) == parts->check) {
        return parts->number;
    }
    return Refusal{.code = "number.check_wrong",
                   .field = std::string(field),
                   .value = shown(typed),
                   .message = fmt::format("its last character does not belong to {} {}: one is wrong, or two changed places.",
                                          noun, shown(parts->number)),
                   .remedy = "Read the label again, or type the number without the plus and what follows.",
                   .answers = {}};
}

}  // namespace tonebath::app
