#include "base/units.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

using namespace tonebath;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

TEST_CASE("temperatures meet at the fixed points of both scales") {
    struct Row {
        double celsius, fahrenheit;
    };
    // Definition of the Fahrenheit scale: 32 °F is 0 °C, 212 °F is 100 °C, -40 is both.
    const Row row = GENERATE(Row{0, 32}, Row{100, 212}, Row{-40, -40}, Row{55, 131}, Row{60, 140});
    CHECK_THAT(Celsius::from_celsius(row.celsius).fahrenheit(), WithinAbs(row.fahrenheit, 1e-11));
    CHECK_THAT(Celsius::from_fahrenheit(row.fahrenheit).celsius(), WithinAbs(row.celsius, 1e-11));
    CHECK_THAT(Celsius::from_celsius(row.celsius).kelvin(), WithinAbs(row.celsius + 273.15, 1e-11));
}

TEST_CASE("volumes and masses carry the published exact factors") {
    // NIST Handbook 44, Appendix C: US cup 236.5882365 ml, US fluid ounce 29.5735295625 ml.
    CHECK_THAT(Millilitres::from_cups(1).ml(), WithinAbs(236.5882365, 1e-10));
    CHECK_THAT(Millilitres::from_fluid_ounces(1).ml(), WithinAbs(29.5735295625, 1e-11));
    CHECK_THAT(Millilitres::from_cups(1).fluid_ounces(), WithinRel(8.0, 1e-14));
    CHECK_THAT(Millilitres::from_ml(500).cups(), WithinRel(500 / 236.5882365, 1e-14));
    // International yard and pound agreement, 1959: 1 lb = 453.59237 g, and 16 oz to it.
    CHECK_THAT(Grams::from_ounces(16).grams(), WithinAbs(453.59237, 1e-10));
    CHECK_THAT(Grams::from_grams(453.59237).ounces(), WithinRel(16.0, 1e-14));
    CHECK(Millimetres::from_inches(1).mm() == 25.4);
    CHECK(Millimetres::from_mm(12.7).inches() == 0.5);
    CHECK(Seconds::from_minutes(2).seconds() == 120.0);
    CHECK(Seconds::from_seconds(5400).hours() == 1.5);
    CHECK(Seconds::from_seconds(90).minutes() == 1.5);
}

TEST_CASE("wire gauges follow the published table") {
    std::ifstream file(TONEBATH_CASES_DIR "/chemistry/awg.csv");
    REQUIRE(file);
    std::string line;
    int rows = 0;
    while (std::getline(file, line)) {
        if (line.empty() || line.front() < '0' || line.front() > '9') {
            continue;
        }
        std::istringstream cells(line);
        double gauge = 0;
        double diameter_mm = 0;
        double diameter_in = 0;
        char comma = 0;
        REQUIRE((cells >> gauge >> comma >> diameter_mm >> comma >> diameter_in));
        INFO("gauge " << gauge);
        const Millimetres wire = Millimetres::from_awg(gauge);
        CHECK_THAT(wire.mm(), WithinAbs(diameter_mm, 0.5e-4 + 1e-9));
        CHECK_THAT(wire.inches(), WithinAbs(diameter_in, 0.5e-5 + 1e-9));
        CHECK_THAT(Millimetres::from_mm(diameter_mm).awg(), WithinAbs(gauge, 0.01));
        ++rows;
    }
    CHECK(rows >= 20);
}

TEST_CASE("wire gauges meet the two diameters that define them") {
    // ASTM B258: gauge 0000 is 0.4600 in, gauge 36 is 0.0050 in.
    CHECK_THAT(Millimetres::from_awg(-3).inches(), WithinRel(0.46, 1e-13));
    CHECK_THAT(Millimetres::from_awg(36).inches(), WithinRel(0.005, 1e-13));
    for (double gauge = -3; gauge <= 56; gauge += 0.5) {
        CHECK_THAT(Millimetres::from_awg(gauge).awg(), WithinAbs(gauge, 1e-10));
    }
    CHECK(std::isnan(Millimetres::from_mm(0).awg()));
    CHECK(std::isnan(Millimetres::from_mm(-1).awg()));
}

TEST_CASE("quantities are ordered by size") {
    CHECK(Celsius::from_fahrenheit(131) < Celsius::from_celsius(60));
    CHECK(Grams::from_ounces(1) > Grams::from_grams(28));
    CHECK(Millimetres::from_awg(20) > Millimetres::from_awg(21));
    CHECK(Seconds::from_minutes(1) == Seconds::from_seconds(60));
}
