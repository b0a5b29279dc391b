#include "base/quantity_reads.hpp"

#include <string>

using namespace tonebath;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

TEST_CASE("temperatures are read as typed") {
    const Taken row = GENERATE(values<Taken>({
        {"55", 55},
        {" 55 ", 55},
        {"55,5", 55.5},
        {"55.5", 55.5},
        {"55 C", 55},
        {"55c", 55},
        {"55°", 55},
        {"55 °C", 55},
        {"55 ° C", 55},
        {"55º C", 55},
        {"55 deg C", 55},
        {"55 deg. C", 55},
        {"55 degrees Celsius", 55},
        {"55 ℃", 55},
        {"131 F", 55},
        {"131F", 55},
        {"131°F", 55},
        {"131 ℉", 55},
        {"131 fahrenheit", 55},
        {"131\u00A0°F", 55},
        {"131\u202FF", 55},
        {"-5", -5},
        {"−5", -5},
        {"−40 F", -40},
        {"+5", 5},
        {".5", 0.5},
        {"5.", 5},
        {"0,125", 0.125},
        {"1.500", 1.5},
        {"5.5e1", 55},
        {"1e-999", 0},
        {"-0", 0},
    }));
    check_value(row.typed, celsius(row.typed), row.expected);
}

TEST_CASE("a bare number is in the unit the studio reads first, and a typed unit wins") {
    const UnitChoice american{UnitChoice::Temperature::fahrenheit, UnitChoice::Volume::cups, UnitChoice::Mass::ounces,
                              UnitChoice::Length::inches};
    check_value("131", celsius("131", american), 55);
    check_value("131°", celsius("131°", american), 55);
    check_value("55 C", celsius("55 C", american), 55);
    check_value("2", ml("2", american), 2 * kCup);
    check_value("400 ml", ml("400 ml", american), 400);
    check_value("2", grams("2", american), 2 * kOunce);
    check_value("2 g", grams("2 g", american), 2);
    check_value("0.5", mm("0.5", american), 12.7);
    check_value("6 mm", mm("6 mm", american), 6);
    UnitChoice other = american;
    other.volume = UnitChoice::Volume::fluid_ounces;
    other.length = UnitChoice::Length::awg;
    check_value("8", ml("8", other), kCup);
    CHECK_THAT(mm("20", other).value(), WithinAbs(0.8118, 5e-5));  // ASTM B258 table
}

TEST_CASE("lengths of time are read as typed") {
    const Taken row = GENERATE(values<Taken>({
        {"90", 90},         {"30 s", 30},
        {"30s", 30},        {"1.5 sec", 1.5},
        {"1:20", 80},       {"0:05", 5},
        {"90:00", 5400},    {"1:02:03", 3723},
        {"1:20.5", 80.5},   {"1:20,5", 80.5},
        {" 1:20 ", 80},     {"-1:20", -80},
        {"−5", -5},         {"2 min", 120},
        {"2 MIN", 120},     {"2 min.", 120},
        {"1,5 min", 90},    {"1.5 h", 5400},
        {"1 min 20 s", 80}, {"1 min 20 s.", 80},
        {"1h2m3s", 3723},   {"2 hours 30 minutes", 9000},
        {"3 days", 259200}, {"2 weeks", 1209600},
    }));
    check_value(row.typed, seconds(row.typed), row.expected);
}

TEST_CASE("volumes are read as typed") {
    const Taken row = GENERATE(values<Taken>({
        {"400", 400},
        {"1234,567", 1234.567},  // nobody groups four digits: a decimal comma
        {"1,50", 1.5},
        {"400 ml", 400},
        {"400mL", 400},
        {"0,4 l", 400},
        {"0.4 Litres", 400},
        {"40 cl", 400},
        {"4 dl", 400},
        {"400 cc", 400},
        {"400 cm³", 400},
        {"400 cm3", 400},
        {"1 cup", kCup},
        {"2 cups", 2 * kCup},
        {"1/2 cup", kCup / 2},
        {"1 / 2 cup", kCup / 2},
        {"½ cup", kCup / 2},
        {"½cup", kCup / 2},
        {"1⁄2 cup", kCup / 2},
        {"1 1/2 cups", 1.5 * kCup},
        {"1½ cups", 1.5 * kCup},
        {"1 ½ cups", 1.5 * kCup},
        {"⅓ cup", kCup / 3},
        {"¾ cup", 0.75 * kCup},
        {"-½ cup", -kCup / 2},
        {"1/2", 0.5},
        {"8 fl oz", 8 * kFluidOunce},
        {"8 fl. oz.", 8 * kFluidOunce},
        {"8 FLOZ", 8 * kFluidOunce},
        {"8 oz", 8 * kFluidOunce},
    }));
    check_value(row.typed, ml(row.typed), row.expected);
}

TEST_CASE("weights are read as typed") {
    const Taken row = GENERATE(values<Taken>({
        {"2", 2},
        {"2,5 g", 2.5},
        {"2.5 Grams", 2.5},
        {"500 mg", 0.5},
        {"1.2 kg", 1200},
        {"1 oz", kOunce},
        {"1/2 oz", kOunce / 2},
        {"1 lb", 453.59237},
        {"1 ozt", 31.1034768},  // NIST Handbook 44, Appendix C
        {"1 troy oz", 31.1034768},
        {"20 dwt", 31.1034768},
        {"5 ct", 1},
    }));
    check_value(row.typed, grams(row.typed), row.expected);
}

TEST_CASE("lengths are read as typed") {
    const Taken row = GENERATE(values<Taken>({
        {"6", 6},
        {"6 mm", 6},
        {"3 cm", 30},
        {"1.2 m", 1200},
        {"0.5 in", 12.7},
        {"1/4 in", 6.35},
        {"1/4\"", 6.35},
        {"½″", 12.7},
        {"2 inches", 50.8},
        {"36 awg", 0.127},
        {"36 ga", 0.127},
        {"36ga.", 0.127},
        {"36 gauge", 0.127},
        {"0000 AWG", 11.684},  // ASTM B258: 0.4600 in by definition
        {"-3 awg", 11.684},
        {"- 3 awg", 11.684},
    }));
    INFO(row.typed);
    const Result<double> read = mm(row.typed);
    REQUIRE(read);
    CHECK_THAT(*read, WithinRel(row.expected, 1e-6));
}

TEST_CASE("gauges of thick wire are read by their zeros") {
    // ASTM B258, diameters in inches to four places.
    const Taken row =
        GENERATE(values<Taken>({{"1 awg", 0.2893}, {"0 awg", 0.3249}, {"00 awg", 0.3648}, {"000 ga", 0.4096}}));
    INFO(row.typed);
    const Result<double> read = mm(row.typed);
    REQUIRE(read);
    CHECK_THAT(*read / 25.4, WithinAbs(row.expected, 0.5e-4));
}

TEST_CASE("amounts of a lot are read in the lot's own unit") {
    const auto amount = [](const std::string& typed, AmountUnit unit) { return parse_amount("amount", typed, unit); };
    check_value("2.5", amount("2.5", AmountUnit::g), 2.5);
    check_value("1 oz", amount("1 oz", AmountUnit::g), kOunce);
    check_value("5", amount("5", AmountUnit::ml), 5);
    check_value("1 oz", amount("1 oz", AmountUnit::ml), kFluidOunce);
    check_value("0.1 l", amount("0.1 l", AmountUnit::ml), 100);
    check_value("6", amount("6", AmountUnit::drops), 6);
    check_value("1 drop", amount("1 drop", AmountUnit::drops), 1);
    check_value("6 Drops", amount("6 Drops", AmountUnit::drops), 6);
    struct Row {
        std::string typed;
        AmountUnit unit;
    };
    for (const Row& row : {Row{"5 ml", AmountUnit::g}, Row{"2 g", AmountUnit::ml}, Row{"2 g", AmountUnit::drops},
                           Row{"6 drops", AmountUnit::ml}}) {
        const Result<double> read = amount(row.typed, row.unit);
        REQUIRE_FALSE(read);
        CHECK(read.error().code == "text.unknown_unit");
        check_words(read.error(), "amount", row.typed);
    }
}
