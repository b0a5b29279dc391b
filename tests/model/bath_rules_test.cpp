#include "model/rules/bath_rules.hpp"
#include "model/rules/temp_rules.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

const UnitChoice kCelsius{};

std::string code_of(const rules::Question& question) {
    return question ? question->code : std::string();
}

Lot lump() {
    Lot lot;
    lot.number = "LS-1";
    lot.bought_amount = 100.0;
    return lot;
}

}  // namespace

TEST_CASE("Which temperatures of a bath are let through, asked about and refused") {
    const auto code = [](double c, std::string_view typed) {
        return code_of(rules::bath_temp({"Temperature", typed}, Celsius::from_celsius(c), kCelsius));
    };
    CHECK(code(60, "60").empty());
    CHECK(code(0, "0").empty());
    CHECK(code(100, "100").empty());
    CHECK(code(100.5, "100.5") == "bath.temp.looks_fahrenheit");
    CHECK(code(212, "212") == "bath.temp.looks_fahrenheit");
    CHECK(code(213, "213") == "bath.temp.above_boiling");
    CHECK(code(140, "140 °C") == "bath.temp.above_boiling");
    CHECK(code(140, "140C") == "bath.temp.above_boiling");
    CHECK(code(-0.1, "-0.1") == "bath.temp.frozen");
}

TEST_CASE("A bare number is °F only where the studio reads °C first") {
    UnitChoice fahrenheit;
    fahrenheit.temperature = UnitChoice::Temperature::fahrenheit;
    const Celsius hot = Celsius::from_fahrenheit(240);
    CHECK(code_of(rules::bath_temp({"Temperature", "240"}, hot, fahrenheit)) == "bath.temp.above_boiling");
}

TEST_CASE("Strength is held against the lot's usual") {
    const rules::Typed typed{"Amount", "20 g"};
    const Millilitres water = Millilitres::from_ml(200);
    // 20 g in 0.2 l is 100 g/l, 20 times 5.
    CHECK_THAT(*rules::times_usual(20.0, water, lump()), WithinRel(20.0, 1e-12));
    const rules::Question asked = rules::strength(typed, 20.0, water, lump());
    REQUIRE(asked);
    CHECK(asked->answers.front() == "2 g");
    CHECK(rules::may_be_kept(*asked));
    CHECK_FALSE(rules::strength(typed, 2.0, water, lump()));
    Lot strong = lump();
    strong.usual_per_litre = 50.0;
    CHECK_FALSE(rules::strength(typed, 20.0, water, strong));
    // A gel has no published strength: nothing to hold it against until the studio says what is usual.
    Lot gel = lump();
    gel.form = LotForm::gel;
    CHECK_FALSE(rules::times_usual(20.0, water, gel));
}

TEST_CASE("A tenth of what was typed is offered exactly") {
    const rules::Question asked = rules::strength({"Amount", "12.5 g"}, 12.5, Millilitres::from_ml(250), lump());
    REQUIRE(asked);
    CHECK(asked->answers.front() == "1.25 g");
}

TEST_CASE("More than the lot holds says how much is left") {
    const rules::Typed typed{"Amount", "4 g"};
    CHECK_FALSE(rules::enough_in_lot(typed, 4.0, lump(), {.amount = 4.0, .words = ""}));
    CHECK_FALSE(rules::enough_in_lot(typed, 4.0, lump(), {}));
    const rules::Question asked = rules::enough_in_lot(typed, 4.0, lump(), {.amount = 3.0, .words = ""});
    REQUIRE(asked);
    CHECK_THAT(asked->text(), Contains("Amount 4 g") && Contains("LS-1 has 3.0 g left"));
    // Below nothing is nothing.
    CHECK_THAT(rules::enough_in_lot(typed, 4.0, lump(), {.amount = -2.0, .words = ""})->message,
               Contains("0.0 g left"));
}

TEST_CASE("A lump by its size is a range, not a number") {
    // Row L7 of the published recipes: 6 mm ball = 0.11 cm3 at 1.3 to 2.2 g/cm3.
    const rules::LumpGuess guess = rules::lump_guess(Millimetres::from_mm(6));
    CHECK_THAT(guess.low_g / 1.3, WithinAbs(0.1131, 0.0001));
    CHECK_THAT(guess.high_g / guess.low_g, WithinRel(2.2 / 1.3, 1e-12));
    CHECK_THAT(guess.middle_g * guess.middle_g, WithinRel(guess.low_g * guess.high_g, 1e-12));
    CHECK(rules::lump_words(guess) == "0.15 to 0.25 g");
    CHECK(rules::lump_words(rules::lump_guess(Millimetres::from_mm(20))) == "5.4 to 9.2 g");
}

TEST_CASE("Water boils where the height above the sea lets it") {
    // 100 °C at 1013.25 hPa; 95.0 °C at 1500 m and 90.0 °C at about 3000 m in the standard atmosphere (tables, from
    // memory).
    CHECK_THAT(rules::boiling_point(0).celsius(), WithinAbs(100.0, 0.1));
    CHECK_THAT(rules::boiling_point(1500).celsius(), WithinAbs(95.0, 0.3));
    CHECK_THAT(rules::boiling_point(3000).celsius(), WithinAbs(90.0, 0.4));
}

TEST_CASE("Figures keep the digits that matter") {
    CHECK(rules::figure(0.0833) == "0.0833");
    CHECK(rules::figure(20.0) == "20");
    CHECK(rules::figure(1.9549) == "1.95");
    CHECK(rules::figure(100.0) == "100");
    CHECK(rules::figure(1234.0) == "1234");
    CHECK(rules::figure(0.0) == "0");
    CHECK(rules::figure(-2.5) == "-2.5");
}

TEST_CASE("Text that cannot be shown is refused, any script is not") {
    CHECK_FALSE(rules::plain_text({"Note", "Ω, 銀, ﷺ, emoji 🙂\nsecond line"}, 100));
    CHECK(code_of(rules::plain_text({"Note", std::string(101, 'x')}, 100)) == "text.too_long");
    CHECK(code_of(rules::plain_text({"Note", "\xFF"}, 100)) == "text.not_text");
    CHECK(code_of(rules::plain_text({"Note", std::string_view("a\0b", 3)}, 100)) == "text.not_text");
    CHECK(rules::plain_text({"Note", std::string(10240, 'x')}, 100)->value.size() < 60);
}
