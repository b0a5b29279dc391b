#include "app/actions/reader.hpp"

#include <fmt/format.h>

#include <charconv>

namespace tonebath::app {

namespace {

constexpr int kMostAtOnce = 200;

// "L-131" as "L-" and 131 with three digits; nothing where it does not end in digits.
struct Counted {
    std::string head;
    int count = 0;
    std::size_t digits = 0;
};

std::optional<Counted> counted_number(std::string_view text) {
    std::size_t from = text.size();
    while (from > 0 && text[from - 1] >= '0' && text[from - 1] <= '9') {
        --from;
    }
    const std::string_view digits = text.substr(from);
    int count = 0;
    const auto [end, trouble] = std::from_chars(digits.data(), digits.data() + digits.size(), count);
    if (digits.empty() || trouble != std::errc{} || end != digits.data() + digits.size()) {
        return std::nullopt;
    }
    return Counted{.head = std::string(text.substr(0, from)), .count = count, .digits = digits.size()};
}

}  // namespace

Result<std::vector<std::string>> numbers_of(const rules::Typed& typed) {
    const std::string_view text = trimmed(typed.text);
    const std::size_t dots = text.find("..");
    if (dots == std::string_view::npos) {
        if (std::optional<Refusal> odd = rules::plain_text({typed.field, text}, Reader::kNumber)) {
            return *odd;
        }
        if (text.empty() || text.find('\n') != std::string_view::npos) {
            return rules::refuse("number.missing", typed, "a number or name is one word or a few, on one line.",
                                 "Type it again.");
        }
        return std::vector<std::string>{std::string(text)};
    }
    const std::optional<Counted> first = counted_number(trimmed(text.substr(0, dots)));
    std::string_view second = trimmed(text.substr(dots + 2));
    std::optional<Counted> last = counted_number(second);
    if (first && last && last->head.empty()) {
        last->head = first->head;  // "L-131..138"
    }
    const bool fits = first && last && first->head == last->head && first->count <= last->count &&
                      last->count - first->count < kMostAtOnce && text.size() <= 2 * Reader::kNumber;
    if (!fits || rules::plain_text(typed, 2 * Reader::kNumber)) {
        return rules::refuse("number.bad_range", typed,
                             fmt::format("that is not a row of at most {} numbers.", kMostAtOnce),
                             "Type the first and the last, for example \"L-131..L-138\".");
    }
    std::vector<std::string> numbers;
    for (int count = first->count; count <= last->count; ++count) {
        numbers.push_back(fmt::format("{}{:0{}}", first->head, count, first->digits));
    }
    return numbers;
}

}  // namespace tonebath::app
