#include "base/quantity_reads.hpp"

#include <array>
#include <string>
#include <utility>
#include <vector>

using namespace tonebath;
using Catch::Matchers::Contains;

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
        values<std::string>({"1:2", "1:60", "1:75", "1:75:00", ":30", "1:", "1:20:", "1:20 min", "1:20 s", "1:2:3:4",
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
