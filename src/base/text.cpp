#include "base/text.hpp"

#include "base/check.hpp"

#include <algorithm>
#include <cstddef>

namespace tonebath {

namespace {

constexpr char32_t kReplacement = 0xFFFD;

unsigned byte_at(std::string_view text, std::size_t index) {
    return static_cast<unsigned char>(text[index]);
}

struct Decoded {
    char32_t code_point = kReplacement;
    std::size_t bytes = 1;
    bool valid = false;
};

// RFC 3629, section 4.
Decoded decode(std::string_view text) {
    const unsigned first = byte_at(text, 0);
    if (first < 0x80) {
        return {first, 1, true};
    }
    std::size_t length = 0;
    char32_t code_point = 0;
    char32_t smallest = 0;
    if (first >= 0xC2 && first <= 0xDF) {
        length = 2;
        code_point = first & 0x1FU;
        smallest = 0x80;
    } else if (first >= 0xE0 && first <= 0xEF) {
        length = 3;
        code_point = first & 0x0FU;
        smallest = 0x800;
    } else if (first >= 0xF0 && first <= 0xF4) {
        length = 4;
        code_point = first & 0x07U;
        smallest = 0x10000;
    } else {
        return {};
    }
    if (text.size() < length) {
        return {};
    }
    for (std::size_t i = 1; i < length; ++i) {
        const unsigned next = byte_at(text, i);
        if ((next & 0xC0U) != 0x80U) {
            return {};
        }
        code_point = (code_point << 6U) | (next & 0x3FU);
    }
    const bool surrogate = code_point >= 0xD800 && code_point <= 0xDFFF;
    if (code_point < smallest || surrogate || code_point > 0x10FFFF) {
        return {};
    }
    return {code_point, length, true};
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

char lower_ascii(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

std::size_t digits_end(std::string_view text, std::size_t from) {
    while (from < text.size() && is_digit(text[from])) {
        ++from;
    }
    return from;
}

std::string_view without_leading_zeros(std::string_view digits) {
    const std::size_t first = std::min(digits.find_first_not_of('0'), digits.size());
    return digits.substr(first);
}

// Start of the character that ends the text: a whole UTF-8 character where there is one, else one byte.
std::size_t last_character(std::string_view text) {
    for (std::size_t length = 2; length <= std::min<std::size_t>(4, text.size()); ++length) {
        const Decoded last = decode(text.substr(text.size() - length));
        if (last.valid && last.bytes == length) {
            return text.size() - length;
        }
    }
    return text.size() - 1;
}

}  // namespace

char32_t take_code_point(std::string_view& rest) {
    TB_CHECK(!rest.empty());
    const Decoded first = decode(rest);
    rest.remove_prefix(first.bytes);
    return first.code_point;
}

void append_utf8(std::string& text, char32_t code_point) {
    const auto put = [&text](char32_t byte) { text += static_cast<char>(static_cast<unsigned char>(byte)); };
    if (code_point < 0x80) {
        put(code_point);
    } else if (code_point < 0x800) {
        put(0xC0U | (code_point >> 6U));
        put(0x80U | (code_point & 0x3FU));
    } else if (code_point < 0x10000) {
        put(0xE0U | (code_point >> 12U));
        put(0x80U | ((code_point >> 6U) & 0x3FU));
        put(0x80U | (code_point & 0x3FU));
    } else {
        put(0xF0U | (code_point >> 18U));
        put(0x80U | ((code_point >> 12U) & 0x3FU));
        put(0x80U | ((code_point >> 6U) & 0x3FU));
        put(0x80U | (code_point & 0x3FU));
    }
}

// White_Space of the Unicode Character Database, and the byte order mark that comes along with pasted text.
bool is_blank(char32_t c) {
    return c == ' ' || (c >= 0x09 && c <= 0x0D) || c == 0x85 || c == 0xA0 || c == 0x1680 ||
           (c >= 0x2000 && c <= 0x200A) || c == 0x2028 || c == 0x2029 || c == 0x202F || c == 0x205F || c == 0x3000 ||
           c == 0xFEFF;
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty()) {
        std::string_view rest = text;
        if (!is_blank(take_code_point(rest))) {
            break;
        }
        text = rest;
    }
    while (!text.empty()) {
        const std::size_t last = last_character(text);
        std::string_view character = text.substr(last);
        if (!is_blank(take_code_point(character))) {
            break;
        }
        text = text.substr(0, last);
    }
    return text;
}

std::vector<std::string> split(std::string_view text, char separator) {
    std::vector<std::string> parts;
    for (;;) {
        const std::size_t end = text.find(separator);
        parts.emplace_back(text.substr(0, end));
        if (end == std::string_view::npos) {
            return parts;
        }
        text.remove_prefix(end + 1);
    }
}

std::string joined(const std::vector<std::string>& parts, std::string_view separator) {
    std::string text;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (i > 0) {
            text += separator;
        }
        text += parts[i];
    }
    return text;
}

bool is_valid_utf8(std::string_view text) {
    while (!text.empty()) {
        const Decoded first = decode(text);
        if (!first.valid) {
            return false;
        }
        text.remove_prefix(first.bytes);
    }
    return true;
}

bool natural_less(std::string_view a, std::string_view b) {
    std::size_t i = 0;
    std::size_t j = 0;
    while (i < a.size() && j < b.size()) {
        if (is_digit(a[i]) && is_digit(b[j])) {
            const std::size_t a_end = digits_end(a, i);
            const std::size_t b_end = digits_end(b, j);
            const std::string_view a_number = without_leading_zeros(a.substr(i, a_end - i));
            const std::string_view b_number = without_leading_zeros(b.substr(j, b_end - j));
            if (a_number.size() != b_number.size()) {
                return a_number.size() < b_number.size();
            }
            if (a_number != b_number) {
                return a_number < b_number;
            }
            i = a_end;
            j = b_end;
            continue;
        }
        const auto a_byte = static_cast<unsigned char>(lower_ascii(a[i]));
        const auto b_byte = static_cast<unsigned char>(lower_ascii(b[j]));
        if (a_byte != b_byte) {
            return a_byte < b_byte;
        }
        ++i;
        ++j;
    }
    if (i < a.size() || j < b.size()) {
        return i == a.size();
    }
    return a < b;
}

std::string counted(std::size_t n, std::string_view one, std::string_view many) {
    std::string text = std::to_string(n);
    text += ' ';
    text += n == 1 ? one : many;
    return text;
}

std::string shortened(std::string_view text, std::size_t max_bytes) {
    constexpr std::string_view kEllipsis = "…";
    if (text.size() <= max_bytes) {
        return std::string(text);
    }
    const bool room = max_bytes >= kEllipsis.size();
    const std::size_t limit = room ? max_bytes - kEllipsis.size() : max_bytes;
    std::size_t end = 0;
    while (end < limit) {
        const std::size_t next = end + decode(text.substr(end)).bytes;
        if (next > limit) {
            break;
        }
        end = next;
    }
    std::string cut(text.substr(0, end));
    if (room) {
        cut += kEllipsis;
    }
    return cut;
}

std::string shown(std::string_view typed) {
    constexpr std::size_t kMaxCharacters = 40;
    std::vector<char32_t> characters;
    while (!typed.empty() && characters.size() <= kMaxCharacters) {
        const char32_t c = take_code_point(typed);
        const bool control = c < 0x20 || (c >= 0x7F && c < 0xA0);
        // Direction marks would turn the rest of the message round.
        const bool direction = (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
        characters.push_back(control || direction ? kReplacement : c);
    }
    if (characters.size() > kMaxCharacters) {
        characters.resize(kMaxCharacters - 1);
        characters.push_back(U'…');
    }
    std::string text;
    for (const char32_t c : characters) {
        append_utf8(text, c);
    }
    return text;
}

}  // namespace tonebath
