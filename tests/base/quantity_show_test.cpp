#include "base/quantity_text.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <cmath>
#include <cstdlib>
#include <limits>
#include <string>

using namespace tonebath;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinity = std::numeric_limits<double>::infinity();

struct Row {
    double value;
    std::string expected;
};

}  // namespace

TEST_CASE("fixed_text rounds half away from zero without exponent or minus zero") {
    struct Case {
        double value;
        int digits;
        std::string expected;
    };
    const Case row = GENERATE(values<Case>({
        {0, 0, "0"},
        {0, 2, "0.00"},
        {0.5, 0, "1"},
        {1.5, 0, "2"},
        {2.5, 0, "3"},
        {-2.5, 0, "-3"},
        {0.25, 1, "0.3"},
        {0.125, 2, "0.13"},
        {2.675, 2, "2.68"},
        {1.005, 2, "1.01"},
        {0.45, 1, "0.5"},
        {0.449999, 1, "0.4"},
        {-0.04, 1, "0.0"},
        {-0.0, 1, "0.0"},
        {-0.05, 1, "-0.1"},
        {9.99, 1, "10.0"},
        {99.96, 1, "100.0"},
        {12, 3, "12.000"},
        {1e21, 0, "1000000000000000000000"},
        {1e-9, 3, "0.000"},
        {5e-324, 20, "0.00000000000000000000"},
        {kNan, 1, "?"},
        {kInfinity, 1, "?"},
        {-kInfinity, 0, "?"},
    }));
    CHECK(fixed_text(row.value, row.digits) == row.expected);
    CHECK(fixed_text(std::numeric_limits<double>::max(), 20).size() == 309 + 1 + 20);
}

TEST_CASE("fixed_text stays within half a digit of the value") {
    CHECK(rc::check("within half a digit", [] {
        const double value = *rc::gen::map(rc::gen::inRange<long long>(-1'000'000'000'000, 1'000'000'000'000),
                                           [](long long n) { return static_cast<double>(n) / 1e6; });
        const int digits = *rc::gen::inRange(0, 6);
        const double shown = std::strtod(fixed_text(value, digits).c_str(), nullptr);
        RC_ASSERT(std::fabs(shown - value) <= 0.5 * std::pow(10.0, -digits) + 1e-9);
    }));
}

TEST_CASE("exact_text reads back to the same double and is short") {
    CHECK(exact_text(0.1) == "0.1");
    CHECK(exact_text(55) == "55");
    CHECK(exact_text(1.0 / 3.0) == "0.3333333333333333");
    CHECK(std::strtod(exact_text(5e-324).c_str(), nullptr) == 5e-324);
    CHECK(rc::check("round trip", [](double value) {
        RC_PRE(std::isfinite(value));
        RC_ASSERT(std::strtod(exact_text(value).c_str(), nullptr) == value);
    }));
}

TEST_CASE("temperatures for the screen") {
    const UnitChoice fahrenheit{.temperature = UnitChoice::Temperature::fahrenheit};
    CHECK(text_of(Celsius::from_celsius(51.4)) == "51.4 °C");
    CHECK(text_of(Celsius::from_celsius(51.4), fahrenheit) == "124.5 °F");
    CHECK(text_of(Celsius::from_celsius(60)) == "60.0 °C");
    CHECK(text_of(Celsius::from_celsius(-0.04)) == "0.0 °C");
    CHECK(text_of(Celsius::from_celsius(kNan)) == "? °C");
}

TEST_CASE("times for the screen: seconds up to 120, then minutes") {
    const Row row = GENERATE(values<Row>({
        {0, "0.0 s"},     {4.52, "4.5 s"},   {9.94, "9.9 s"},     {9.96, "10 s"},     {43.4, "43 s"},
        {90, "90 s"},     {120, "120 s"},    {120.4, "120 s"},    {120.5, "2:01"},    {125, "2:05"},
        {599.6, "10:00"}, {3599.4, "59:59"}, {3599.6, "1:00:00"}, {3725, "1:02:05"},  {360000, "100:00:00"},
        {-43, "-43 s"},   {-125, "-2:05"},   {kNan, "? s"},       {kInfinity, "? s"},
    }));
    CHECK(text_of(Seconds::from_seconds(row.value)) == row.expected);
}

TEST_CASE("volumes for the screen") {
    const UnitChoice cups{.volume = UnitChoice::Volume::cups};
    const UnitChoice ounces{.volume = UnitChoice::Volume::fluid_ounces};
    CHECK(text_of(Millilitres::from_ml(400)) == "400 ml");
    CHECK(text_of(Millilitres::from_ml(9.94)) == "9.9 ml");
    CHECK(text_of(Millilitres::from_ml(9.97)) == "10 ml");
    CHECK(text_of(Millilitres::from_ml(10.4)) == "10 ml");
    CHECK(text_of(Millilitres::from_cups(1), cups) == "1 cup");
    CHECK(text_of(Millilitres::from_cups(0.5), cups) == "0.5 cups");
    CHECK(text_of(Millilitres::from_ml(400), cups) == "1.69 cups");
    CHECK(text_of(Millilitres::from_cups(10), cups) == "10 cups");
    CHECK(text_of(Millilitres::from_cups(1), ounces) == "8.0 fl oz");
}

TEST_CASE("weights for the screen") {
    const UnitChoice ounces{.mass = UnitChoice::Mass::ounces};
    CHECK(text_of(Grams::from_grams(2)) == "2.0 g");
    CHECK(text_of(Grams::from_grams(99.94)) == "99.9 g");
    CHECK(text_of(Grams::from_grams(99.96)) == "100 g");
    CHECK(text_of(Grams::from_grams(250.4)) == "250 g");
    CHECK(text_of(Grams::from_ounces(0.5), ounces) == "0.50 oz");
}

TEST_CASE("lengths for the screen") {
    const UnitChoice awg{.length = UnitChoice::Length::awg};
    const UnitChoice inches{.length = UnitChoice::Length::inches};
    CHECK(text_of(Millimetres::from_mm(12)) == "12 mm");
    CHECK(text_of(Millimetres::from_mm(12.5)) == "12.5 mm");
    CHECK(text_of(Millimetres::from_mm(0.8118)) == "0.81 mm");
    CHECK(text_of(Millimetres::from_mm(100)) == "100 mm");
    CHECK(text_of(Millimetres::from_mm(0.8118), awg) == "20 AWG");
    CHECK(text_of(Millimetres::from_awg(20.5), awg) == "20.5 AWG");
    CHECK(text_of(Millimetres::from_awg(10), awg) == "10 AWG");
    CHECK(text_of(Millimetres::from_awg(0), awg) == "0 AWG");
    CHECK(text_of(Millimetres::from_awg(-1), awg) == "00 AWG");
    CHECK(text_of(Millimetres::from_awg(-3), awg) == "0000 AWG");
    CHECK(text_of(Millimetres::from_mm(30), awg) == "30 mm");
    CHECK(text_of(Millimetres::from_mm(0), awg) == "0 mm");
    CHECK(text_of(Millimetres::from_mm(12.7), inches) == "0.5 in");
    CHECK(text_of(Millimetres::from_mm(1), inches) == "0.039 in");
    CHECK_THAT(parse_length("wire", text_of(Millimetres::from_awg(-2), awg)).value().awg(),
               Catch::Matchers::WithinAbs(-2.0, 1e-9));
}
