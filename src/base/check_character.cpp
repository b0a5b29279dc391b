#include "base/check_character.hpp"

#include "base/text.hpp"

namespace tonebath {

namespace {

constexpr std::string_view kCharacters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";
constexpr std::size_t kModulus = 37;

char capital(char c) {
    return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
}

}  // namespace

char check_character(std::string_view text) {
    std::size_t sum = 0;
    for (const char c : text) {
        const std::size_t value = kCharacters.find(capital(c));
        if (value < kModulus - 1) {  // '*' stands only at the end
            sum = (sum + value) * 2 % kModulus;
        }
    }
    return kCharacters[(kModulus + 1 - sum) % kModulus];
}

std::optional<CheckedNumber> split_checked(std::string_view typed) {
    const std::string_view text = trimmed(typed);
    if (text.size() < 3 || text[text.size() - 2] != '+' || kCharacters.find(capital(text.back())) == std::string_view::npos) {
        return std::nullopt;
    }
    return CheckedNumber{std::string(trimmed(text.substr(0, text.size() - 2))), capital(text.back())};
}

}  // namespace tonebath
