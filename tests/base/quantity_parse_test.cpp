#include "base/quantity_text.hpp"
#include "base/text.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <clocale>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <locale>
#include <string>
#include <vector>

using namespace tonebath;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

struct Taken {
    std::string typed;
    double expected;
};

void check_value(const std::string& typed, const Result<double>& read, double expected) {
    INFO("typed: " << typed);
    if (!read) {
        FAIL_CHECK(read.error().code << ": " << read.error().text());
        return;
    }
    CHECK_THAT(*read, WithinAbs(expected, 1e-9) || WithinRel(expected, 1e-14));
}

template <class T>
Result<double> in(const Result<T>& read, double (T::*unit)() const) {
    if (!read) {
        return read.error();
    }
    return ((*read).*unit)();
}

Result<double> celsius(const std::string& typed, UnitChoice units = {}) {
    return in(parse_temperature("temperature", typed, units), &Celsius::celsius);
}
Result<double> seconds(const std::string& typed) {
    return in(parse_duration("time in bath", typed), &Seconds::seconds);
}
Result<double> ml(const std::string& typed, UnitChoice units = {}) {
    return in(parse_volume("water", typed, units), &Millilitres::ml);
}
Result<double> grams(const std::string& typed, UnitChoice units = {}) {
    return in(parse_mass("weight", typed, units), &Grams::grams);
}
Result<double> mm(const std::string& typed, UnitChoice units = {}) {
    return in(parse_length("thickness", typed, units), &Millimetres::mm);
}

constexpr double kCup = 236.5882365;           // US cup, NIST Handbook 44, Appendix C
constexpr double kFluidOunce = 29.5735295625;  // the same
constexpr double kOunce = 28.349523125;        // International yard and pound agreement, 1959

// A refusal a person can act on: the field, what was typed (short), a sentence, and a remedy.
void check_words(const Refusal& refusal, std::string_view field, const std::string& typed) {
    CHECK(refusal.field == field);
    CHECK(refusal.value == shown(typed));
    CHECK_FALSE(refusal.message.empty());
    CHECK_FALSE(refusal.remedy.empty());
    CHECK(is_valid_utf8(refusal.text()));
    CHECK(refusal.text().size() < 400);
    CHECK(refusal.text().find('\0') == std::string::npos);
    for (const char* avoided : {"invalid", "error", "parse", "input", "null"}) {
        CHECK_THAT(folded(refusal.message + refusal.remedy), !Contains(avoided));
    }
}

}  // namespace

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

TEST_CASE("what every field refuses, it refuses with code, field, value and remedy") {
    struct Row {
        std::string typed;
        std::string code;
    };
    const Row row = GENERATE(values<Row>({
        {"", "text.empty"},
        {"   \t\n", "text.empty"},
        {"\u00A0\u3000", "text.empty"},
        {std::string(10'000, ' '), "text.empty"},
        {std::string(10'000, '5'), "text.too_long"},
        {std::string(10'240, 'x'), "text.too_long"},
        {"5" + std::string(64, '0'), "text.too_long"},
        {"abc", "text.not_a_number"},
        {"about 55", "text.not_a_number"},
        {"-", "text.not_a_number"},
        {".", "text.not_a_number"},
        {",", "text.not_a_number"},
        {"--5", "text.not_a_number"},
        {"5 6", "text.not_a_number"},
        {"55-60", "text.not_a_number"},
        {"0x10", "text.not_a_number"},
        {"1'500", "text.not_a_number"},
        {"1 500", "text.not_a_number"},
        {"1/0", "text.not_a_number"},
        {"1/2/3", "text.not_a_number"},
        {"1 2 3/4", "text.not_a_number"},
        {std::string("\0", 1), "text.not_a_number"},
        {std::string("\0005", 2), "text.not_a_number"},
        {"５５", "text.not_a_number"},
        {"5５", "text.not_a_number"},
        {"٥٥", "text.not_a_number"},
        {"пять", "text.not_a_number"},
        {"五十", "text.not_a_number"},
        {"\xFF\xFE", "text.not_a_number"},
        {"nan", "text.not_finite"},
        {"NaN", "text.not_finite"},
        {"inf", "text.not_finite"},
        {"-Infinity", "text.not_finite"},
        {"∞", "text.not_finite"},
        {"1e999", "text.not_finite"},
        {"-1e999", "text.not_finite"},
        {"5 furlongs", "text.unknown_unit"},
        {"5 %", "text.unknown_unit"},
        {"5 銀", "text.unknown_unit"},
        {"5 \xFF", "text.unknown_unit"},
        {std::string("5\0", 2), "text.unknown_unit"},
        {"infinite", "text.not_a_number"},
        {"1,234.5", "text.two_signs"},
        {"1.234,5", "text.two_signs"},
        {"1.2.3", "text.two_signs"},
        {"1,234,567", "text.two_signs"},
        {"1,500", "text.thousands"},
        {"-12,345", "text.thousands"},
        {"100,000", "text.thousands"},
    }));
    const std::array<std::pair<const char*, Result<double>>, 7> reads = {{
        {"field", parse_number("field", row.typed)},
        {"temperature", celsius(row.typed)},
        {"time in bath", seconds(row.typed)},
        {"water", ml(row.typed)},
        {"weight", grams(row.typed)},
        {"thickness", mm(row.typed)},
        {"amount", parse_amount("amount", row.typed, AmountUnit::drops)},
    }};
    for (const auto& [field, read] : reads) {
        INFO(field << ": " << shown(row.typed));
        REQUIRE_FALSE(read);
        CHECK(read.error().code == row.code);
        check_words(read.error(), field, row.typed);
    }
}

TEST_CASE("fields without fractions say so, and a plain number takes no unit") {
    for (const Result<double>& read :
         {parse_number("parts", "1/2"), celsius("1/2"), celsius("½ C"), seconds("1/2 min")}) {
        REQUIRE_FALSE(read);
        CHECK(read.error().code == "text.not_a_number");
        CHECK_THAT(read.error().message, Contains("fraction"));
    }
    check_value("5,5", parse_number("parts", "5,5"), 5.5);
    check_value("1e3", parse_number("parts", "1e3"), 1000);
    CHECK(parse_number("parts", "5 g").error().code == "text.unknown_unit");
    CHECK(celsius("55 K").error().code == "text.unknown_unit");
    CHECK(celsius("131 F 55 C").error().code == "text.not_a_number");
    CHECK(ml("1 pint").error().code == "text.unknown_unit");
}

TEST_CASE("a clock reading that could mean two things is refused") {
    const std::string typed = GENERATE(
        values<std::string>({"1:2", "1:75", "1:75:00", ":30", "1:", "1:20:", "1:20 min", "1:20 s", "1:2:3:4",
                             "1:20:30:40", "1:-5", "1.5:20", "1:020", "::", "1:20.", "1:2O", "--1:20", "1:20 1:30"}));
    INFO(typed);
    const Result<double> read = seconds(typed);
    REQUIRE_FALSE(read);
    CHECK(read.error().code == "text.not_a_number");
    check_words(read.error(), "time in bath", typed);
    CHECK_THAT(read.error().remedy, Contains("1:20"));
}

TEST_CASE("lengths of time in parts must fall in size and carry their units") {
    for (const char* typed : {"20 s 1 min", "1 min 2 min", "1 min 20", "1 20 s", "-1 min 20 s"}) {
        INFO(typed);
        CHECK(seconds(typed).error().code == "text.not_a_number");
    }
    CHECK(seconds("5 fortnights").error().code == "text.unknown_unit");
    CHECK(seconds("1e308 h").error().code == "text.not_finite");
    CHECK(ml("1e308 cups").error().code == "text.not_finite");
    CHECK(mm("-1e9 awg").error().code == "text.not_finite");
}

TEST_CASE("a thousands comma offers both readings, and each is taken") {
    const Refusal refusal = ml("1,500 ml").error();
    CHECK(refusal.code == "text.thousands");
    REQUIRE(refusal.answers == std::vector<std::string>{"1500", "1.500"});
    check_value("1500", ml(refusal.answers[0]), 1500);
    check_value("1.500", ml(refusal.answers[1]), 1.5);
    CHECK_THAT(refusal.text(), Contains("water 1,500 ml: "));
}

TEST_CASE("a refusal reads as one line in the maker's words") {
    CHECK(celsius("hot").error().text() ==
          "temperature hot: that does not begin with a number, and a temperature does. Type a temperature, for example "
          "\"55 C\" or "
          "\"131 F\".");
    CHECK_THAT(celsius("５５").error().remedy, Contains("digits 0 to 9"));
    CHECK_THAT(celsius("55 x").error().message, Contains("\"x\""));
    CHECK(celsius(std::string(10'000, 'x')).error().value == std::string(39, 'x') + "…");
}

TEST_CASE("what is shown is read again as the same value") {
    CHECK(rc::check("exact_text", [] {
        const double value = *rc::gen::arbitrary<double>();
        RC_PRE(std::isfinite(value));
        const Result<double> read = parse_number("n", exact_text(value));
        RC_ASSERT(read.has_value());
        RC_ASSERT(*read == value);
    }));
    CHECK(rc::check("times", [] {
        const int s = *rc::gen::inRange(-400'000, 400'000);
        const Result<double> read = seconds(text_of(Seconds::from_seconds(s)));
        RC_ASSERT(read.has_value());
        RC_ASSERT(*read == s);
    }));
}

TEST_CASE("any text at all is read or refused, never worse") {
    const auto letters = rc::gen::container<std::string>(rc::gen::oneOf(
        rc::gen::element<char>('0', '5', '9', '.', ',', ':', '-', '/', ' ', 'e', 'c', 'f', 'm', 's', '"'),
        rc::gen::arbitrary<char>()));
    CHECK(rc::check("any text", [&] {
        const std::string typed = *letters;
        for (const Result<double>& read :
             {parse_number("n", typed), celsius(typed), seconds(typed), ml(typed), grams(typed), mm(typed)}) {
            if (read) {
                RC_ASSERT(std::isfinite(*read));
            } else {
                RC_ASSERT(!read.error().code.empty());
                RC_ASSERT(is_valid_utf8(read.error().text()));
            }
        }
    }));
}

namespace {

struct CommaDecimal : std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
};

// Sets a C locale with a decimal comma: one of the system's, or one made for the test where its source is installed.
bool set_comma_locale(const std::filesystem::path& folder) {
    for (const char* name : {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "pl_PL.UTF-8"}) {
        if (std::setlocale(LC_ALL, name) != nullptr) {
            return true;
        }
    }
    const std::string make = "localedef -i de_DE -f UTF-8 '" + (folder / "de_DE.UTF-8").string() + "' >/dev/null 2>&1";
    if (std::system(make.c_str()) != 0) {
        return false;
    }
    ::setenv("LOCPATH", folder.c_str(), 1);
    const bool set = std::setlocale(LC_ALL, "de_DE.UTF-8") != nullptr;
    ::unsetenv("LOCPATH");
    return set;
}

}  // namespace

TEST_CASE("the system's locale changes nothing") {
    std::string name = (std::filesystem::temp_directory_path() / "tonebath-locale-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    const std::locale before = std::locale::global(std::locale(std::locale::classic(), new CommaDecimal));
    const bool comma = set_comma_locale(name);
    std::array<char, 16> printed{};
    std::snprintf(printed.data(), printed.size(), "%.1f", 5.5);
    const Result<double> point = celsius("55.5");
    const Result<double> decimal_comma = celsius("55,5");
    const std::vector<std::string> texts = {text_of(Celsius::from_celsius(51.4)), exact_text(1234.5),
                                            fixed_text(1234567.25, 1), text_of(Millilitres::from_ml(1500))};
    std::setlocale(LC_ALL, "C");
    std::locale::global(before);
    std::filesystem::remove_all(name);
    if (comma) {
        CHECK(std::string(printed.data()) == "5,5");  // the locale was really in force
    } else {
        WARN("no locale with a decimal comma could be set; only the C++ one was tried");
    }
    check_value("55.5", point, 55.5);
    check_value("55,5", decimal_comma, 55.5);
    CHECK(texts == std::vector<std::string>{"51.4 °C", "1234.5", "1234567.3", "1500 ml"});
}
