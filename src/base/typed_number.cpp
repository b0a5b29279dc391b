#include "base/typed_number.hpp"

#include "base/text.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>

namespace tonebath::typed {

namespace {

constexpr std::size_t kMaxBytes = 64;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

bool is_letter(char c) {
    return c >= 'a' && c <= 'z';
}

bool has_digit(std::string_view text) {
    return std::any_of(text.begin(), text.end(), is_digit);
}

std::size_t skip_blanks(std::string_view text, std::size_t at) {
    while (at < text.size() && text[at] == ' ') {
        ++at;
    }
    return at;
}

std::size_t skip_digits(std::string_view text, std::size_t at) {
    while (at < text.size() && is_digit(text[at])) {
        ++at;
    }
    return at;
}

// Digits of scripts whose keyboards are at hand: full width, Arabic, Persian, Devanagari, Bengali, Thai.
bool is_other_digit(char32_t c) {
    constexpr std::array<char32_t, 6> kZeros = {0xFF10, 0x0660, 0x06F0, 0x0966, 0x09E6, 0x0E50};
    return std::any_of(kZeros.begin(), kZeros.end(), [c](char32_t zero) { return c >= zero && c < zero + 10; });
}

// Plain signs for a character; nullopt where it stays as it is.
std::optional<std::string_view> plain_sign(char32_t c) {
    switch (c) {
        case U'−':
            return "-";
        case U'º':  // the ordinal sign and the ring, which keyboards offer in place of the degree sign
        case U'˚':
            return "°";
        case U'℃':
            return "°c";
        case U'℉':
            return "°f";
        case U'″':
        case U'”':
            return "\"";
        case U'⁄':
        case U'∕':
            return "/";
        // The blanks keep a fraction apart from the digits before and after it.
        case U'½':
            return " 1/2 ";
        case U'⅓':
            return " 1/3 ";
        case U'⅔':
            return " 2/3 ";
        case U'¼':
            return " 1/4 ";
        case U'¾':
            return " 3/4 ";
        case U'⅛':
            return " 1/8 ";
        case U'⅜':
            return " 3/8 ";
        case U'⅝':
            return " 5/8 ";
        case U'⅞':
            return " 7/8 ";
        default:
            return std::nullopt;
    }
}

// Blanks single, none at the ends.
std::string with_single_blanks(std::string_view text) {
    std::string result;
    for (const char c : text) {
        if (c != ' ' || (!result.empty() && result.back() != ' ')) {
            result += c;
        }
    }
    if (!result.empty() && result.back() == ' ') {
        result.pop_back();
    }
    return result;
}

Refusal not_a_number(const Field& field) {
    return refusal(field, "text.not_a_number",
                   fmt::format("that does not begin with a number, and {} does.", field.noun));
}

// "1/2" and "1 1/2": a whole number has been read up to `after_whole`. nullopt where no fraction follows.
struct Fraction {
    double whole = 0.0;
    double above = 0.0;
    double below = 0.0;
    std::size_t end = 0;
};

double whole_value(std::string_view digits) {
    double value = 0.0;
    std::from_chars(digits.data(), digits.data() + digits.size(), value);
    return value;
}

std::optional<Fraction> take_fraction(std::string_view plain, std::size_t start, std::size_t after_whole) {
    Fraction fraction;
    std::size_t above_start = start;
    std::size_t above_end = after_whole;
    std::size_t at = skip_blanks(plain, after_whole);
    if (at > after_whole && at < plain.size() && is_digit(plain[at])) {
        fraction.whole = whole_value(plain.substr(start, after_whole - start));
        above_start = at;
        above_end = skip_digits(plain, at);
        at = skip_blanks(plain, above_end);
    }
    if (at >= plain.size() || plain[at] != '/') {
        return std::nullopt;
    }
    const std::size_t below_start = skip_blanks(plain, at + 1);
    const std::size_t below_end = skip_digits(plain, below_start);
    const bool goes_on = below_end < plain.size() && (plain[below_end] == '.' || plain[below_end] == ',');
    if (below_start == below_end || goes_on) {
        return std::nullopt;
    }
    fraction.above = whole_value(plain.substr(above_start, above_end - above_start));
    fraction.below = whole_value(plain.substr(below_start, below_end - below_start));
    fraction.end = below_end;
    return fraction;
}

// "nan", "inf", "infinity" and "∞" at `at`.
bool names_no_finite_number(std::string_view plain, std::size_t at) {
    std::size_t end = at;
    while (end < plain.size() && is_letter(plain[end])) {
        ++end;
    }
    const std::string_view word = plain.substr(at, end - at);
    return word == "nan" || word == "inf" || word == "infinity" || plain.substr(at).starts_with("∞");
}

Refusal thousands(const Field& field, std::string_view digits) {
    const std::size_t comma = digits.find(',');
    const std::string whole(digits.substr(0, comma));
    const std::string part(digits.substr(comma + 1));
    Refusal result =
        refusal(field, "text.thousands", fmt::format("that can be read as {0}{1} or as {0}.{1}.", whole, part),
                fmt::format("Type \"{0}{1}\" or \"{0}.{1}\".", whole, part));
    result.answers = {whole + part, whole + "." + part};
    return result;
}

}  // namespace

Refusal refusal(const Field& field, std::string_view code, std::string message, std::string remedy) {
    if (remedy.empty()) {
        remedy = fmt::format("Type {}, for example {}.", field.noun, field.examples);
    }
    return Refusal{std::string(code),  std::string(field.name), shown(field.typed),
                   std::move(message), std::move(remedy),       {}};
}

Refusal more_than_one(const Field& field) {
    return refusal(field, "text.not_a_number", "there is more than one number, and it is not certain which is meant.");
}

Refusal not_finite(const Field& field) {
    return refusal(field, "text.not_finite", "that is no amount that can be measured.");
}

Refusal unknown_unit(const Field& field, std::string_view unit) {
    return refusal(field, "text.unknown_unit", fmt::format("\"{}\" is not a unit that this field takes.", shown(unit)));
}

Result<std::string> plain_text(const Field& field) {
    std::string_view text = trimmed(field.typed);
    if (text.empty()) {
        return refusal(field, "text.empty", "nothing is typed here.");
    }
    if (text.size() > kMaxBytes) {
        return refusal(field, "text.too_long", fmt::format("that is too long for {}.", field.noun));
    }
    std::string plain;
    while (!text.empty()) {
        const char32_t c = take_code_point(text);
        if (is_other_digit(c)) {
            return refusal(field, "text.not_a_number", "the digits are not the ones from 0 to 9 that can be read here.",
                           fmt::format("Type it with the digits 0 to 9, for example {}.", field.examples));
        }
        if (const std::optional<std::string_view> sign = plain_sign(c)) {
            plain += *sign;
        } else if (c >= 'A' && c <= 'Z') {
            append_utf8(plain, c + 32);
        } else {
            append_utf8(plain, is_blank(c) ? U' ' : c);
        }
    }
    return with_single_blanks(plain);
}

Result<Number> take_number(const Field& field, std::string_view plain, std::size_t from, Fractions fractions) {
    std::size_t start = from;
    double sign = 1.0;
    if (start < plain.size() && (plain[start] == '-' || plain[start] == '+')) {
        sign = plain[start] == '-' ? -1.0 : 1.0;
        start = skip_blanks(plain, start + 1);
    }
    if (names_no_finite_number(plain, start)) {
        return not_finite(field);
    }
    std::size_t end = start;
    while (end < plain.size() && (is_digit(plain[end]) || plain[end] == '.' || plain[end] == ',')) {
        ++end;
    }
    const std::string_view digits = plain.substr(start, end - start);
    if (!has_digit(digits)) {
        return not_a_number(field);
    }
    const auto signs = std::count_if(digits.begin(), digits.end(), [](char c) { return !is_digit(c); });
    if (signs > 1) {
        return refusal(field, "text.two_signs",
                       "there is more than one comma or point, so the decimal sign is not certain.",
                       fmt::format("Type it with one decimal sign and no other, for example {}.", field.examples));
    }
    if (signs == 0) {
        if (const std::optional<Fraction> fraction = take_fraction(plain, start, end)) {
            if (fractions == Fractions::refused) {
                return refusal(field, "text.not_a_number", "a fraction is not read here.",
                               fmt::format("Type it with a decimal sign, for example {}.", field.examples));
            }
            if (!(fraction->below > 0.0)) {
                return refusal(field, "text.not_a_number", "the lower number of a fraction cannot be 0.");
            }
            const double value = fraction->whole + fraction->above / fraction->below;
            return Number{sign * value, {}, skip_blanks(plain, fraction->end)};
        }
    }
    const std::size_t comma = digits.find(',');
    if (comma != std::string_view::npos && comma > 0 && comma <= 3 && digits.front() != '0' &&
        digits.size() == comma + 4) {
        return thousands(field, digits);
    }
    std::string number(digits);
    std::replace(number.begin(), number.end(), ',', '.');
    bool small = false;
    if (end < plain.size() && plain[end] == 'e') {
        std::size_t power = end + 1;
        const bool signed_power = power < plain.size() && (plain[power] == '-' || plain[power] == '+');
        small = signed_power && plain[power] == '-';
        power += signed_power ? 1U : 0U;
        const std::size_t power_end = skip_digits(plain, power);
        if (power_end > power) {
            number += plain.substr(end, power_end - end);
            end = power_end;
        }
    }
    double value = 0.0;
    const auto [stop, code] = std::from_chars(number.data(), number.data() + number.size(), value);
    if (code == std::errc::result_out_of_range) {
        if (!small) {
            return not_finite(field);
        }
        value = 0.0;
    } else {
        TB_CHECK(code == std::errc{} && stop == number.data() + number.size());
    }
    return Number{sign * value, digits, skip_blanks(plain, end)};
}

Result<Quantity> take_quantity(const Field& field, Fractions fractions) {
    const Result<std::string> plain = plain_text(field);
    if (!plain) {
        return plain.error();
    }
    const Result<Number> number = take_number(field, *plain, 0, fractions);
    if (!number) {
        return number.error();
    }
    Quantity quantity{number->value, std::string(number->digits), plain->substr(number->end)};
    std::erase(quantity.unit, '.');
    quantity.unit = with_single_blanks(quantity.unit);
    const bool cubic = quantity.unit == "cm3" || quantity.unit == "cm^3";
    if (has_digit(quantity.unit) && !cubic) {
        return more_than_one(field);
    }
    return quantity;
}

Result<double> finite(const Field& field, double value) {
    if (!std::isfinite(value)) {
        return not_finite(field);
    }
    return value;
}

std::optional<double> factor_of(std::span<const Unit> units, std::string_view word) {
    const auto found = std::find_if(units.begin(), units.end(), [word](const Unit& unit) { return unit.word == word; });
    return found == units.end() ? std::nullopt : std::optional(found->factor);
}

}  // namespace tonebath::typed
