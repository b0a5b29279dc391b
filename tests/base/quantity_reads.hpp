// Reads of typed quantities as plain doubles, for the tests of their parsers.
#pragma once

#include "base/quantity_text.hpp"
#include "base/text.hpp"

#include <catch2/catch.hpp>

#include <string>

namespace tonebath {

struct Taken {
    std::string typed;
    double expected;
};

inline void check_value(const std::string& typed, const Result<double>& read, double expected) {
    INFO("typed: " << typed);
    if (!read) {
        FAIL_CHECK(read.error().code << ": " << read.error().text());
        return;
    }
    CHECK_THAT(*read, Catch::Matchers::WithinAbs(expected, 1e-9) || Catch::Matchers::WithinRel(expected, 1e-14));
}

template <class T>
Result<double> in(const Result<T>& read, double (T::*unit)() const) {
    if (!read) {
        return read.error();
    }
    return ((*read).*unit)();
}

inline Result<double> celsius(const std::string& typed, UnitChoice units = {}) {
    return in(parse_temperature("temperature", typed, units), &Celsius::celsius);
}
inline Result<double> seconds(const std::string& typed) {
    return in(parse_duration("time in bath", typed), &Seconds::seconds);
}
inline Result<double> ml(const std::string& typed, UnitChoice units = {}) {
    return in(parse_volume("water", typed, units), &Millilitres::ml);
}
inline Result<double> grams(const std::string& typed, UnitChoice units = {}) {
    return in(parse_mass("weight", typed, units), &Grams::grams);
}
inline Result<double> mm(const std::string& typed, UnitChoice units = {}) {
    return in(parse_length("thickness", typed, units), &Millimetres::mm);
}

constexpr double kCup = 236.5882365;           // US cup, NIST Handbook 44, Appendix C
constexpr double kFluidOunce = 29.5735295625;  // the same
constexpr double kOunce = 28.349523125;        // International yard and pound agreement, 1959

// A refusal a person can act on: the field, what was typed (short), a sentence, and a remedy.
inline void check_words(const Refusal& refusal, std::string_view field, const std::string& typed) {
    CHECK(refusal.field == field);
    CHECK(refusal.value == shown(typed));
    CHECK_FALSE(refusal.message.empty());
    CHECK_FALSE(refusal.remedy.empty());
    CHECK(is_valid_utf8(refusal.text()));
    CHECK(refusal.text().size() < 400);
    CHECK(refusal.text().find('\0') == std::string::npos);
    for (const char* avoided : {"invalid", "error", "parse", "input", "null"}) {
        CHECK_THAT(folded(refusal.message + refusal.remedy), !Catch::Matchers::Contains(avoided));
    }
}

}  // namespace tonebath
