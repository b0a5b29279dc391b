#include "base/text.hpp"

#include <algorithm>
#include <array>
#include <cstddef>

namespace tonebath {

namespace {

// What each Latin letter is found as: its lower-case letters without marks, "*" where it stays as it is.
// Made from the compatibility decompositions of the Unicode Character Database; ligatures and barred letters
// (ß, æ, œ, ø, đ, ł, þ ...), which have none, by their usual transcription.
constexpr char32_t kLatinStart = 0xC0;
constexpr std::string_view kLatin =
    "a a a a a a ae c e e e e i i i i d n o o o o o * o u u u u y th ss "
    "a a a a a a ae c e e e e i i i i d n o o o o o * o u u u u y th y "
    "a a a a a a c c c c c c c c d d d d e e e e e e e e e e g g g g "
    "g g g g h h h h i i i i i i i i i i ij ij j j k k k l l l l l l l "
    "l l l n n n n n n n n n o o o o o o oe oe r r r r r r s s s s s s "
    "s s t t t t t t u u u u u u u u u u u u w w y y y z z z z z z s "
    "b b * * * * * * * * * * * * * * * f f * * * * i * * * * * * * o "
    "o o * * * * * * * * * * * * * u u * * * * z z * * * * * * * * * "
    "* * * * dz dz dz lj lj lj nj nj nj a a i i o o u u u u u u u u u u * a a "
    "a a ae ae * * g g k k o o o o * * j dz dz dz g g * * n n a a ae ae o o "
    "a a a a e e e e i i i i o o o o r r r r u u u u s s t t * * h h "
    "* * * * * * a a e e o o o o o o o o y y * * * * * * a c c * * * "
    "* * * b * * * * * * * * * * * * ";
constexpr char32_t kLatinMoreStart = 0x1E00;
constexpr std::string_view kLatinMore =
    "a a b b b b b b c c d d d d d d d d d d e e e e e e e e e e f f "
    "g g h h h h h h h h h h i i i i k k k k k k l l l l l l l l m m "
    "m m m m n n n n n n n n o o o o o o o o p p p p r r r r r r r r "
    "s s s s s s s s s s t t t t t t t t u u u u u u u u u u v v v v "
    "w w w w w w w w w w x x x x y y z z z z z z h t w y * s * * ss d "
    "a a a a a a a a a a a a a a a a a a a a a a a a e e e e e e e e "
    "e e e e e e e e i i i i o o o o o o o o o o o o o o o o o o o o "
    "o o o o u u u u u u u u u u u u u u y y y y y y y y * * * * * * ";

constexpr std::size_t kLatinCount = 0x250 - 0xC0;
constexpr std::size_t kLatinMoreCount = 0x1F00 - 0x1E00;
static_assert(std::count(kLatin.begin(), kLatin.end(), ' ') == kLatinCount);
static_assert(std::count(kLatinMore.begin(), kLatinMore.end(), ' ') == kLatinMoreCount);

template <std::size_t N>
constexpr std::array<std::string_view, N> words_of(std::string_view table) {
    std::array<std::string_view, N> words{};
    for (std::string_view& word : words) {
        const std::size_t end = table.find(' ');
        word = table.substr(0, end);
        table.remove_prefix(end + 1);
    }
    return words;
}

constexpr std::array kLatinWords = words_of<kLatinCount>(kLatin);
constexpr std::array kLatinMoreWords = words_of<kLatinMoreCount>(kLatinMore);

std::string_view latin_word(char32_t c) {
    if (c >= kLatinStart && c < kLatinStart + kLatinWords.size()) {
        return kLatinWords[c - kLatinStart];
    }
    if (c >= kLatinMoreStart && c < kLatinMoreStart + kLatinMoreWords.size()) {
        return kLatinMoreWords[c - kLatinMoreStart];
    }
    return "*";
}

char32_t lower_greek(char32_t c) {
    switch (c) {
        case 0x386:
            return 0x3AC;
        case 0x388:
        case 0x389:
        case 0x38A:
            return c + 37;
        case 0x38C:
            return 0x3CC;
        case 0x38E:
        case 0x38F:
            return c + 63;
        case 0x3C2:  // final sigma
            return 0x3C3;
        default:
            return c >= 0x391 && c <= 0x3AB && c != 0x3A2 ? c + 32 : c;
    }
}

char32_t lower_cyrillic(char32_t c) {
    if (c >= 0x410 && c <= 0x42F) {
        return c + 32;
    }
    if (c >= 0x400 && c <= 0x40F) {
        return c + 80;
    }
    if (c == 0x4C0) {
        return 0x4CF;
    }
    const bool even_upper = (c >= 0x460 && c <= 0x481) || (c >= 0x48A && c <= 0x4BF) || (c >= 0x4D0 && c <= 0x52F);
    const bool odd_upper = c >= 0x4C1 && c <= 0x4CE;
    if ((even_upper && c % 2 == 0) || (odd_upper && c % 2 == 1)) {
        return c + 1;
    }
    return c;
}

bool is_mark(char32_t c) {
    return c >= 0x300 && c <= 0x36F;
}

}  // namespace

std::string folded(std::string_view text) {
    std::string result;
    result.reserve(text.size());
    bool after_latin = false;
    while (!text.empty()) {
        const std::string_view before = text;
        const char32_t c = take_code_point(text);
        if (c < 0x80) {
            const bool upper = c >= 'A' && c <= 'Z';
            after_latin = upper || (c >= 'a' && c <= 'z');
            append_utf8(result, upper ? c + 32 : c);
            continue;
        }
        if (is_mark(c) && after_latin) {
            continue;
        }
        const std::string_view word = latin_word(c);
        after_latin = word != "*";
        if (after_latin) {
            result += word;
            continue;
        }
        const char32_t lower = lower_cyrillic(lower_greek(c));
        if (lower == c) {
            result += before.substr(0, before.size() - text.size());
        } else {
            append_utf8(result, lower);
        }
    }
    return result;
}

}  // namespace tonebath
