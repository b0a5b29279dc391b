// Text helpers: UTF-8, trimming, folding for search, names of enumerators.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath {

// Without blanks at either end: ASCII white space, and the blanks that come with pasted text (no-break, thin, wide).
[[nodiscard]] std::string_view trimmed(std::string_view text);
// Empty parts are kept, so that joined(split(text, c), c) is the text again; an empty text is one empty part.
[[nodiscard]] std::vector<std::string> split(std::string_view text, char separator);
[[nodiscard]] std::string joined(const std::vector<std::string>& parts, std::string_view separator);
// As RFC 3629: no overlong form, no surrogate, nothing above U+10FFFF. A NUL is valid.
[[nodiscard]] bool is_valid_utf8(std::string_view text);
// Takes the first character off `rest`, which must not be empty; a byte that is not UTF-8 comes out as U+FFFD.
[[nodiscard]] char32_t take_code_point(std::string_view& rest);
void append_utf8(std::string& text, char32_t code_point);
[[nodiscard]] bool is_blank(char32_t code_point);
// Lower case without accents for Latin letters (é -> e, ß -> ss), lower case for Greek and Cyrillic, the rest as it
// is: for finding. Final sigma is folded to sigma. Bytes that are not UTF-8 stay.
[[nodiscard]] std::string folded(std::string_view text);
// Compares numbers inside names by value: L-9 before L-10. Upper and lower case stand together; a total order.
[[nodiscard]] bool natural_less(std::string_view a, std::string_view b);
// "1 piece", "2 pieces".
[[nodiscard]] std::string counted(std::size_t n, std::string_view one, std::string_view many);
// At most `max_bytes` long, cut at a character border, with "…" (3 bytes, counted) when cut and there is room for it.
[[nodiscard]] std::string shortened(std::string_view text, std::size_t max_bytes);
// What a person typed, as a message shows it: one line of at most 40 characters, "…" when cut, control characters and
// broken UTF-8 as U+FFFD.
[[nodiscard]] std::string shown(std::string_view typed);

// Words of an enumerator, in its order; specialise beside the enum. They are what the log, the files and the commands
// hold.
template <class E>
struct EnumWords;

template <class E>
concept Worded = requires {
    EnumWords<E>::words.size();
};

template <Worded E>
[[nodiscard]] std::string_view word_of(E value) {
    return EnumWords<E>::words[static_cast<std::size_t>(value)];
}

template <Worded E>
[[nodiscard]] std::optional<E> from_word(std::string_view word) {
    for (std::size_t i = 0; i < EnumWords<E>::words.size(); ++i) {
        if (EnumWords<E>::words[i] == word) {
            return static_cast<E>(i);
        }
    }
    return std::nullopt;
}

}  // namespace tonebath
