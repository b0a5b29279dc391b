#include "base/quantity_text.hpp"

#include <fmt/core.h>

#include <array>
#include <charconv>
#include <cmath>

namespace tonebath {

namespace {

constexpr std::string_view kNoFigure = "?";

bool all_zero(std::string_view decimal) {
    return decimal.find_first_of("123456789") == std::string_view::npos;
}

// Adds one to the last digit of a decimal without sign.
void round_up(std::string& decimal) {
    for (std::size_t i = decimal.size(); i-- > 0;) {
        if (decimal[i] == '.') {
            continue;
        }
        if (decimal[i] != '9') {
            ++decimal[i];
            return;
        }
        decimal[i] = '0';
    }
    decimal.insert(decimal.begin(), '1');
}

std::string without_trailing_zeros(std::string text) {
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') {
            text.pop_back();
        }
    }
    return text;
}

// One digit after the point below `border`, none from there on; 9.96 is "10", not "10.0".
std::string one_digit_below(double value, double border) {
    std::string fine = fixed_text(value, 1);
    double rounded = 0.0;
    std::from_chars(fine.data(), fine.data() + fine.size(), rounded);
    return std::fabs(rounded) < border ? fine : fixed_text(value, 0);
}

std::string awg_text(double gauge) {
    constexpr std::array<std::string_view, 3> kZeros = {"00", "000", "0000"};
    const std::string number = without_trailing_zeros(fixed_text(gauge, 1));
    for (std::size_t i = 0; i < kZeros.size(); ++i) {
        if (number == fmt::format("-{}", i + 1)) {
            return fmt::format("{} AWG", kZeros[i]);
        }
    }
    return number + " AWG";
}

}  // namespace

std::string exact_text(double value) {
    std::array<char, 32> text{};
    const auto [end, code] = std::to_chars(text.data(), text.data() + text.size(), value);
    TB_CHECK(code == std::errc{});
    return std::string(text.data(), end);
}

std::string fixed_text(double value, int digits) {
    constexpr int kMaxDigits = 20;
    TB_CHECK(digits >= 0 && digits <= kMaxDigits);
    if (!std::isfinite(value)) {
        return std::string(kNoFigure);
    }
    // Room for the longest decimal a double can have: 309 digits before the point, or "0." and 1074 after it.
    std::array<char, 1100> buffer{};
    const auto [end, code] =
        std::to_chars(buffer.data(), buffer.data() + buffer.size(), std::fabs(value), std::chars_format::fixed);
    TB_CHECK(code == std::errc{});
    std::string decimal(buffer.data(), end);
    if (decimal.find('.') == std::string::npos) {
        decimal += '.';
    }
    const std::size_t wanted = decimal.find('.') + 1 + static_cast<std::size_t>(digits);
    if (decimal.size() > wanted) {
        const bool up = decimal[wanted] >= '5';
        decimal.erase(wanted);
        if (up) {
            round_up(decimal);
        }
    } else {
        decimal.append(wanted - decimal.size(), '0');
    }
    if (decimal.back() == '.') {
        decimal.pop_back();
    }
    if (value < 0.0 && !all_zero(decimal)) {
        decimal.insert(decimal.begin(), '-');
    }
    return decimal;
}

std::string text_of(Celsius value, const UnitChoice& units) {
    if (units.temperature == UnitChoice::Temperature::fahrenheit) {
        return fixed_text(value.fahrenheit(), 1) + " °F";
    }
    return fixed_text(value.celsius(), 1) + " °C";
}

std::string text_of(Seconds value) {
    constexpr double kLongestInSeconds = 120.0;
    constexpr double kMostSeconds = 1e15;  // beyond it whole seconds cannot be counted; shown as seconds
    const double whole_s = std::round(std::fabs(value.seconds()));
    if (!(whole_s > kLongestInSeconds) || whole_s > kMostSeconds) {
        return one_digit_below(value.seconds(), 10.0) + " s";
    }
    const auto total = static_cast<long long>(whole_s);
    const std::string_view sign = value.seconds() < 0.0 ? "-" : "";
    const long long hours = total / 3600;
    const long long minutes = total / 60 % 60;
    if (hours > 0) {
        return fmt::format("{}{}:{:02}:{:02}", sign, hours, minutes, total % 60);
    }
    return fmt::format("{}{}:{:02}", sign, minutes, total % 60);
}

std::string text_of(Millilitres value, const UnitChoice& units) {
    switch (units.volume) {
        case UnitChoice::Volume::cups: {
            const std::string cups = without_trailing_zeros(fixed_text(value.cups(), 2));
            return cups + (cups == "1" ? " cup" : " cups");
        }
        case UnitChoice::Volume::fluid_ounces:
            return fixed_text(value.fluid_ounces(), 1) + " fl oz";
        case UnitChoice::Volume::ml:
            break;
    }
    return one_digit_below(value.ml(), 10.0) + " ml";
}

std::string text_of(Grams value, const UnitChoice& units) {
    if (units.mass == UnitChoice::Mass::ounces) {
        return fixed_text(value.ounces(), 2) + " oz";
    }
    return one_digit_below(value.grams(), 100.0) + " g";
}

std::string text_of(Millimetres value, const UnitChoice& units) {
    constexpr double kThickestGauge = -3.0;
    constexpr double kThinnestGauge = 56.0;
    constexpr double kTolerance = 0.05;  // half of the last digit shown
    if (units.length == UnitChoice::Length::inches) {
        return without_trailing_zeros(fixed_text(value.inches(), 3)) + " in";
    }
    const double gauge = value.awg();
    if (units.length == UnitChoice::Length::awg && gauge > kThickestGauge - kTolerance &&
        gauge < kThinnestGauge + kTolerance) {
        return awg_text(gauge);
    }
    const int digits = std::fabs(value.mm()) < 10.0 ? 2 : 1;
    return without_trailing_zeros(fixed_text(value.mm(), digits)) + " mm";
}

}  // namespace tonebath
