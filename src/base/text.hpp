// Text helpers: UTF-8, trimming, folding for search, names of enumerators.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath {

[[nodiscard]] std::string_view trimmed(std::string_view text);
[[nodiscard]] std::vector<std::string> split(std::string_view text, char separator);
[[nodiscard]] std::string joined(const std::vector<std::string>& parts, std::string_view separator);
[[nodiscard]] bool is_valid_utf8(std::string_view text);
// Lower case without accents for Latin letters (é -> e, ß -> ss), lower case for Greek and Cyrillic, the rest as it is: for finding.
[[nodiscard]] std::string folded(std::string_view text);
// Compares numbers inside names by value: L-9 before L-10.
[[nodiscard]] bool natural_less(std::string_view a, std::string_view b);
// "1 piece", "2 pieces".
[[nodiscard]] std::string counted(std::size_t n, std::string_view one, std::string_view many);
// At most `max_bytes` long, cut at a character border, with "…" when cut.
[[nodiscard]] std::string shortened(std::string_view text, std::size_t max_bytes);

// Words of an enumerator, in its order; specialise beside the enum. They are what the log, the files and the commands hold.
template <class E>
struct EnumWords;

template <class E>
concept Worded = requires { EnumWords<E>::words.size(); };

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
